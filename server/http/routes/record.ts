import { recordSchema } from '../../../src/record/recordSchema.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

export const recordRoute: Route = {
  url: '/api/record',
  says: 'The record of the run so far, jointwise-record/1.',
  answers: {
    200: { says: 'The record.', type: 'application/json', schema: recordSchema },
    404: problem('No sample has come yet.'),
  },
  handle({ live }, _request, reply) {
    return live.record() ?? reply.code(404).send({ error: 'no sample has come yet' });
  },
};
