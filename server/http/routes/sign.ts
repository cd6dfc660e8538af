import { z } from 'zod/mini';
import { Fault } from '../../../src/fault.ts';
import { hashSchema, SIDES } from '../../../src/signing/signEntry.ts';
import { SUBJECT_NAMES } from '../../../src/signing/subjects.ts';
import { NotSigned } from '../../signing/signDesk.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';
import { CLAIM_PROBLEMS, claimSchema, deskOf, personOf } from './people.ts';
import { signatureSchema, wireOf } from './signatures.ts';

const bodySchema = z.object({
  ...claimSchema.shape,
  subject: z.enum(SUBJECT_NAMES),
  /** The name of a joint, the number of a handover. */
  of: z.optional(z.string().check(z.maxLength(64))),
  /** The side of a handover. */
  as: z.optional(z.enum(SIDES)),
  /** Of the text that the person saw. */
  hash: hashSchema,
});

export const signRoute: Route = {
  url: '/api/sign',
  says: 'Signs what the person saw, by the person’s own secret. Refused where it is no longer what stands.',
  body: { schema: bodySchema, mostBytes: 4096 },
  answers: {
    201: { says: 'It is signed.', type: 'application/json', schema: signatureSchema },
    400: problem('The request cannot be meant.'),
    ...CLAIM_PROBLEMS,
    403: problem('The role does not sign this, or the page is not ours.'),
    404: problem('There is no such joint or handover.'),
    409: problem(
      'It has changed since it was seen, this person has signed it, or there is no run or no room for an entry.',
    ),
    500: problem('The journal could not be written; nothing was signed.'),
  },
  async handle(served, request, reply) {
    const { name, secret, ...asked } = request.body as z.infer<typeof bodySchema>;
    const desk = deskOf(served);
    const person = personOf(await desk.people.recognise(name, secret), reply);
    if (!person) return reply;
    try {
      return reply.code(201).send(wireOf(await desk.sign(served.live, person, asked)));
    } catch (error) {
      if (error instanceof NotSigned) return reply.code(error.status).send({ error: error.message });
      if (!(error instanceof Fault)) throw error;
      return reply.code(error.code === 'cannot write' ? 500 : 409).send({ error: error.message });
    }
  },
};
