import { z } from 'zod/mini';
import { ROLE_NAMES } from '../../../src/signing/roles.ts';
import { type SignatureState, standings } from '../../../src/signing/signatures.ts';
import { SIDES } from '../../../src/signing/signEntry.ts';
import { SUBJECT_NAMES, SUBJECTS } from '../../../src/signing/subjects.ts';
import type { Route } from '../route.ts';
import { deskOf } from './people.ts';

const instant = z.iso.datetime({ offset: true });
const subject = z.enum(SUBJECT_NAMES);

export const signatureSchema = z.object({
  number: z.int(),
  subject,
  of: z.nullable(z.string()),
  version: z.int(),
  hash: z.string(),
  by: z.string(),
  role: z.enum(ROLE_NAMES),
  as: z.nullable(z.enum(SIDES)),
  /** Of the stream. */
  atUtc: instant,
  rigTime: instant,
  /** By the clock of the machine. */
  signedAt: instant,
  holds: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('holds') }),
    z.object({
      kind: z.literal('broken'),
      since: instant,
      cause: z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('readings') }),
        z.object({ kind: z.literal('entry'), action: z.string(), by: z.string() }),
      ]),
      parts: z.array(z.string()),
    }),
  ]),
});

const signaturesSchema = z.object({
  signatures: z.array(signatureSchema),
  /** What somebody has signed, and how far. */
  standings: z.array(
    z.object({ subject, of: z.nullable(z.string()), signed: z.int(), needed: z.int(), broken: z.int() }),
  ),
  /** What there is to sign. */
  subjects: z.array(
    z.object({
      subject,
      says: z.string(),
      signatures: z.int(),
      of: z.nullable(z.enum(['joint', 'handover'])),
    }),
  ),
});

export const wireOf = (state: SignatureState): z.infer<typeof signatureSchema> => {
  const { holds } = state;
  return { ...state, holds: holds.kind === 'holds' ? holds : { ...holds, parts: [...holds.parts] } };
};

export const signaturesRoute: Route = {
  url: '/api/signatures',
  says: 'The signatures of the run, whether each still holds, and if not, since when and by what.',
  answers: { 200: { says: 'The signatures.', type: 'application/json', schema: signaturesSchema } },
  handle(served): z.infer<typeof signaturesSchema> {
    const signatures = deskOf(served).signatures(served.live);
    return {
      signatures: signatures.map(wireOf),
      standings: standings(signatures).map((one) => ({ ...one })),
      subjects: SUBJECT_NAMES.map((name) => ({ subject: name, ...SUBJECTS[name] })),
    };
  },
};
