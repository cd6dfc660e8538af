/**
 * The seal of a run that was closed: what its files are, so that a changed bit anywhere in them is seen, also where no
 * record and no row lies. Opening the run for writing breaks it.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod/mini';
import { type Disk, DiskError, readWhole, writeWhole } from './disk.ts';
import { inTurns } from './inTurns.ts';
import { HEAD_NAME, type LogHead } from './logHead.ts';
import { MOST_SEGMENT_BYTES } from './readLog.ts';
import { RUN_DB_NAME } from './runDb.ts';
import { segmentNumbers } from './segment.ts';

export const SEAL_NAME = 'seal.json';
const SEAL_FORMAT = 'jointwise-seal/1';
const SEAL_BYTES = 16 * 1024 * 1024;
/** Of the index: a run of weeks has some 50 MiB. */
export const MOST_DB_BYTES = 1024 * 1024 * 1024;

const fileSchema = z.object({ name: z.string(), bytes: z.number(), sha256: z.string() });
const sealSchema = z.object({
  format: z.literal(SEAL_FORMAT),
  number: z.number(),
  hash: z.string(),
  files: z.array(fileSchema),
});
export type Seal = z.infer<typeof sealSchema>;

const sha256 = (bytes: Uint8Array | string): string => createHash('sha256').update(bytes).digest('hex');

/** @throws DiskError */
function* fileSums(disk: Disk, folder: string): Generator<void, Seal['files'], undefined> {
  const names = disk.list(folder);
  const sealed = names.filter(
    (name) => name === HEAD_NAME || name === RUN_DB_NAME || segmentNumbers([name]).length > 0,
  );
  const sums: Seal['files'] = [];
  for (const name of sealed) {
    const bytes = readWhole(disk, `${folder}/${name}`, name === RUN_DB_NAME ? MOST_DB_BYTES : MOST_SEGMENT_BYTES);
    sums.push({ name, bytes: bytes.length, sha256: sha256(bytes) });
    yield;
  }
  return sums;
}

/** @throws DiskError */
export async function writeSeal(
  disk: Disk,
  folder: string,
  { number, hash }: Pick<LogHead, 'number' | 'hash'>,
): Promise<void> {
  const files = await inTurns(fileSums(disk, folder));
  const seal: Seal = { format: SEAL_FORMAT, number, hash: Buffer.from(hash).toString('hex'), files };
  const text = JSON.stringify(seal);
  await writeWhole(disk, folder, SEAL_NAME, Buffer.from(`${text}\n${sha256(text)}\n`));
}

export type SealRead =
  | { readonly kind: 'none' }
  | { readonly kind: 'damaged'; readonly line: string }
  | { readonly kind: 'whole'; readonly seal: Seal };

/** @throws DiskError other than `missing` */
export function readSeal(disk: Disk, folder: string): SealRead {
  let content: string;
  try {
    content = Buffer.from(readWhole(disk, `${folder}/${SEAL_NAME}`, SEAL_BYTES)).toString('latin1');
  } catch (error) {
    if (error instanceof DiskError && error.trouble === 'missing') return { kind: 'none' };
    throw error;
  }
  const [text = '', sum = '', end] = content.split('\n');
  const damaged = { kind: 'damaged', line: `${SEAL_NAME}: the checksum does not hold` } as const;
  if (end !== '' || sum !== sha256(Buffer.from(text, 'latin1'))) return damaged;
  const seal = sealSchema.safeParse(JSON.parse(text)).data;
  return seal ? { kind: 'whole', seal } : damaged;
}

/** One line for each file that is not as it was sealed. @throws DiskError */
export function* againstSeal(disk: Disk, folder: string, { files }: Seal): Generator<void, string[], undefined> {
  const now = new Map((yield* fileSums(disk, folder)).map((file) => [file.name, file]));
  const problems: string[] = [];
  for (const { name, bytes, sha256: sum } of files) {
    const file = now.get(name);
    if (!file) problems.push(`${name}: found nothing, expected ${bytes} bytes`);
    else if (file.bytes !== bytes) problems.push(`${name}: found ${file.bytes} bytes, expected ${bytes}`);
    else if (file.sha256 !== sum) problems.push(`${name}: found other content than was sealed`);
    now.delete(name);
  }
  for (const name of now.keys()) problems.push(`${name}: found a file that was not sealed`);
  return problems;
}
