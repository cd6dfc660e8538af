import { z } from 'zod/mini';
import { MOST_BUCKETS } from '../../../src/traces/traceBuckets.ts';
import { encodeTraces } from '../../../src/traces/traceWire.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';
import { sendPacked } from '../sendPacked.ts';

/** Buckets when none are asked for: one for each pixel of a common screen. */
const DEFAULT_BUCKETS = 1366;

const querySchema = z.object({
  fromMs: z
    .optional(z.coerce.number())
    .check(z.describe('First instant, ms since 1970 UTC by the clock of the source.')),
  toMs: z.optional(z.coerce.number()).check(z.describe('End, not included.')),
  buckets: z.optional(z.coerce.number().check(z.int(), z.minimum(1), z.maximum(MOST_BUCKETS))),
});

export const tracesRoute: Route = {
  url: '/api/traces',
  says: 'Samples of the run for its traces: all rows of the range, or the least and greatest values of its buckets.',
  query: querySchema,
  answers: {
    200: { says: 'Columns of numbers, little endian, version 1.', type: 'application/octet-stream' },
    400: problem('The query cannot be meant.'),
  },
  async handle({ live }, request, reply) {
    const query = request.query as z.infer<typeof querySchema>;
    const bytes = encodeTraces(live.traces, {
      fromMs: query.fromMs ?? -Infinity,
      toMs: query.toMs ?? Infinity,
      buckets: query.buckets ?? DEFAULT_BUCKETS,
    });
    return sendPacked(request, reply, bytes);
  },
};
