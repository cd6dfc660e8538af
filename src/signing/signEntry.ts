/** A signature as the journal holds it. It changes nothing in the run: whether it holds is worked out. */
import { z } from 'zod/mini';
import { ROLE_NAMES } from './roles.ts';
import { SUBJECT_NAMES } from './subjects.ts';

export const SIGN_LIMITS = {
  /** A few for each joint of the longest liner. */
  seenLines: 20_000,
  lineCharacters: 1000,
} as const;

/** SHA-256, hex. */
export const hashSchema = z.string().check(z.regex(/^[0-9a-f]{64}$/, 'a SHA-256 in hex'));
const partHashSchema = z.string().check(z.regex(/^[0-9a-f]{16}$/));

/** In a handover each side signs for itself. */
export const SIDES = ['leaving', 'coming'] as const;
export type Side = (typeof SIDES)[number];

/**
 * What the signer saw that goes on changing with the readings by itself (how well a length is known, how many frames came):
 * kept as it was seen, so that it is signed and does not break the signature.
 */
export const seenSchema = z.object({
  /** The last sample that was seen. */
  through: z.iso.datetime(),
  lines: z.array(z.string().check(z.maxLength(SIGN_LIMITS.lineCharacters))).check(z.maxLength(SIGN_LIMITS.seenLines)),
});
export type Seen = z.infer<typeof seenSchema>;

export const signEntrySchema = z.object({
  /** Of the stream, as every entry. */
  at: z.iso.datetime({ offset: true }),
  by: z.string().check(z.trim(), z.minLength(1), z.maxLength(100)),
  action: z.literal('sign'),
  role: z.enum(ROLE_NAMES),
  subject: z.enum(SUBJECT_NAMES),
  /** Which one, where there are several. */
  of: z.optional(z.string().check(z.maxLength(64))),
  as: z.optional(z.enum(SIDES)),
  version: z.int().check(z.minimum(1)),
  hash: hashSchema,
  /** The first 16 digits of the SHA-256 of each part, so that a later change can be named. */
  parts: z.record(z.string().check(z.maxLength(100)), partHashSchema),
  seen: z.optional(seenSchema),
  /** The rig's own time, with its distance from UTC. */
  rigTime: z.iso.datetime({ offset: true }),
  /** UTC by the clock of the machine that was signed on. */
  signedAt: z.iso.datetime(),
});
export type SignEntry = z.infer<typeof signEntrySchema>;
