/**
 * A person's secret, kept only as a salted scrypt hash (RFC 7914) with its parameters beside it, so that they can be raised
 * without making those unusable that are there.
 */
import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { z } from 'zod/mini';

/** 32 MiB and some 0.2 s a try: one of the sets that a public cheat sheet on password storage names (OWASP, from memory). */
const COST = { N: 32_768, r: 8, p: 3 } as const;
const SALT_BYTES = 16;
const HASH_BYTES = 32;
/** A file that asks for more would stop the machine. */
const MOST_BYTES = 256 * 1024 * 1024;

export const SECRET_LIMITS = { least: 8, most: 200 } as const;

const base64 = z.string().check(z.regex(/^[A-Za-z0-9+/]{16,128}={0,2}$/));

export const secretHashSchema = z
  .object({
    N: z.int().check(z.minimum(2), z.maximum(2 ** 20)),
    r: z.int().check(z.minimum(1), z.maximum(64)),
    p: z.int().check(z.minimum(1), z.maximum(16)),
    salt: base64,
    hash: base64,
  })
  .check(z.refine(({ N, r, p }) => Number.isInteger(Math.log2(N)) && bytesNeeded(N, r, p) <= MOST_BYTES));
export type SecretHash = z.infer<typeof secretHashSchema>;

const bytesNeeded = (N: number, r: number, p: number): number => 128 * r * (N + p + 2);

/** @param N a power of two */
export function derive(
  secret: string,
  salt: Uint8Array,
  N: number,
  r: number,
  p: number,
  bytes: number,
): Promise<Buffer> {
  const options: ScryptOptions = { N, r, p, maxmem: bytesNeeded(N, r, p) + 1024 };
  return new Promise((resolve, reject) => {
    // One text for what a keyboard may compose in two ways.
    scrypt(secret.normalize('NFC'), salt, bytes, options, (error, key) => (error ? reject(error) : resolve(key)));
  });
}

export async function hashSecret(
  secret: string,
  cost: { N: number; r: number; p: number } = COST,
): Promise<SecretHash> {
  const { N, r, p } = cost;
  const salt = randomBytes(SALT_BYTES);
  const hash = await derive(secret, salt, N, r, p, HASH_BYTES);
  return { N, r, p, salt: salt.toString('base64'), hash: hash.toString('base64') };
}

/** Compares in a time that does not tell how much of it was right. */
export async function isSecret(secret: string, { N, r, p, salt, hash }: SecretHash): Promise<boolean> {
  const kept = Buffer.from(hash, 'base64');
  const given = await derive(secret, Buffer.from(salt, 'base64'), N, r, p, kept.length);
  return timingSafeEqual(given, kept);
}

/** What is wrong with a secret that somebody chooses, without the secret itself; null: nothing. */
export function secretProblem(secret: unknown): string | null {
  const { least, most } = SECRET_LIMITS;
  const length = typeof secret === 'string' ? [...secret].length : -1;
  if (length >= least && length <= most) return null;
  const found = length < 0 ? 'none' : length < least ? 'a shorter one' : 'a longer one';
  return `secret: found ${found}, expected ${least} to ${most} characters`;
}
