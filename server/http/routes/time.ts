import { timeSheet } from '../../../src/time/timeSheet.ts';
import { type TimeSheet, timeSheetSchema } from '../../../src/time/timeSheetSchema.ts';
import type { LiveRun } from '../../live/liveRun.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

/** Null: no sample has come yet. */
export function timeNow(live: LiveRun): TimeSheet | null {
  const record = live.record();
  const { plan, entries } = live.course();
  return record && timeSheet({ plan, record, entries });
}

export const timeRoute: Route = {
  url: '/api/time',
  says: 'Where the time of the run went, by activity and by day as the rig counts them, with what was lost and why.',
  answers: {
    200: { says: 'The time sheet.', type: 'application/json', schema: timeSheetSchema },
    404: problem('No sample has come yet.'),
  },
  handle({ live }, _request, reply) {
    return timeNow(live) ?? reply.code(404).send({ error: 'no sample has come yet' });
  },
};
