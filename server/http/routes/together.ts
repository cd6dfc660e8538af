import { z } from 'zod/mini';
import { Fault, invariant } from '../../../src/fault.ts';
import { TOGETHER_LIMITS, togetherSchema } from '../../../src/together/togetherSchema.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

const querySchema = z.object({
  /** Ids or names, with commas between them; left out: the newest. */
  runs: z.optional(z.string().check(z.minLength(1), z.maxLength(4000))),
});

const answerSchema = z.object({
  together: togetherSchema,
  /** Runs that are being counted: they are there when asked again. */
  pending: z.array(z.string()),
  refused: z.array(z.object({ run: z.string(), why: z.string() })),
  runsLeftOut: z.int(),
});

export const togetherRoute: Route = {
  url: '/api/together',
  says: `Joints over the runs of the library side by side, at most ${TOGETHER_LIMITS.runs} runs, and those that are unlike their kind.`,
  query: querySchema,
  answers: {
    200: { says: 'The joints, by kind, zone, hole and run.', type: 'application/json', schema: answerSchema },
    400: problem('The query cannot be meant, or a run is not there.'),
    404: problem('There is no library.'),
  },
  async handle(served, request, reply) {
    const { library, caliper, together } = served;
    const live = served.hasLive?.() === false ? null : served.live;
    invariant(together !== undefined, 'a service has a desk for runs together');
    const { runs } = request.query as z.infer<typeof querySchema>;
    if (!library)
      return reply.code(404).send({ error: 'no run is kept: the service was started without a data folder' });
    try {
      return await together.answer({ library, live, caliper, runs: runs?.split(',') });
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return reply.code(400).send({ error: error.message });
    }
  },
};
