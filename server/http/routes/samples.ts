import { z } from 'zod/mini';
import { MOST_ROWS } from '../../../src/replay/sampleColumns.ts';
import { encodeSamples } from '../../../src/replay/sampleWire.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';
import { sendPacked } from '../sendPacked.ts';

export const samplesQuery = z.object({
  fromRow: z
    .optional(z.coerce.number().check(z.int(), z.minimum(0), z.maximum(MOST_ROWS)))
    .check(z.describe('Samples that are known already.')),
});

export const samplesRoute: Route = {
  url: '/api/samples',
  says: 'The samples of the run, bit for bit, for counting it again; those that are known already are left out by half hours.',
  query: samplesQuery,
  answers: {
    200: { says: 'Packed columns, little endian, version 1.', type: 'application/octet-stream' },
    400: problem('The query cannot be meant.'),
    409: problem('The service does not hold all samples of the run.'),
  },
  async handle({ live }, request, reply) {
    const { fromRow } = request.query as z.infer<typeof samplesQuery>;
    const log = await live.sampleLog();
    if (typeof log === 'string') return reply.code(409).send({ error: log });
    return sendPacked(request, reply, encodeSamples(log, fromRow));
  },
};
