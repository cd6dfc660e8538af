import { z } from 'zod/mini';
import { SUBJECT_NAMES } from '../../../src/signing/subjects.ts';
import { NotSigned } from '../../signing/signDesk.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';
import { deskOf } from './people.ts';

const querySchema = z.object({
  subject: z.enum(SUBJECT_NAMES),
  /** The name of a joint, the number of a handover. */
  of: z.optional(z.string().check(z.maxLength(64))),
});

const textSchema = z.object({
  subject: z.enum(SUBJECT_NAMES),
  of: z.nullable(z.string()),
  /** That it would be signed as. */
  version: z.int(),
  /** SHA-256 of the text as UTF-8, hex. */
  hash: z.string(),
  text: z.string(),
});

export const signedTextRoute: Route = {
  url: '/api/signed-text',
  says: 'What is signed, as text, to the byte, and its hash.',
  query: querySchema,
  answers: {
    200: { says: 'The text.', type: 'application/json', schema: textSchema },
    400: problem('The query cannot be meant.'),
    404: problem('There is no such joint or handover.'),
    409: problem('There is no run yet.'),
  },
  handle(served, request, reply) {
    const { subject, of } = request.query as z.infer<typeof querySchema>;
    try {
      const { signed, hash, version } = deskOf(served).text(served.live, subject, of);
      const answer: z.infer<typeof textSchema> = { subject, of: signed.of, version, hash, text: signed.text };
      return answer;
    } catch (error) {
      if (!(error instanceof NotSigned)) throw error;
      return reply.code(error.status).send({ error: error.message });
    }
  },
};
