import { timeSheet } from '../../../src/time/timeSheet.ts';
import { timeSheetSchema } from '../../../src/time/timeSheetSchema.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

export const timeRoute: Route = {
  url: '/api/time',
  says: 'Where the time of the run went, by activity and by day as the rig counts them, with what was lost and why.',
  answers: {
    200: { says: 'The time sheet.', type: 'application/json', schema: timeSheetSchema },
    404: problem('No sample has come yet.'),
  },
  handle({ live }, _request, reply) {
    const record = live.record();
    if (!record) return reply.code(404).send({ error: 'no sample has come yet' });
    const { plan, entries } = live.course();
    return timeSheet({ plan, record, entries });
  },
};
