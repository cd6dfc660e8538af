/** The time sheet as CSV: every stretch of every day, in order, with what was lost and why. */
import { timeSheet } from '../time/timeSheet.ts';
import type { TimeStretch } from '../time/timeSheetSchema.ts';
import type { ExportInput } from './exportInput.ts';
import { type Column, counted, tableCsv, timed, worded } from './tableCsv.ts';

interface Row extends TimeStretch {
  readonly day: string;
}

const COLUMNS: readonly Column<Row>[] = [
  worded('Day', ({ day }) => day),
  timed('From', ({ from }) => from),
  timed('To', ({ to }) => to),
  counted('Seconds', ({ ms }) => ms / 1000),
  worded('Activity', ({ activity }) => activity),
  worded('Phase', ({ phase }) => phase),
  worded('Joint', ({ joint }) => joint),
  worded('Lost', ({ lost }) => (lost ? 'yes' : 'no')),
  worded('Code', ({ lost }) => lost?.code),
  worded('Reason', ({ lost }) => lost?.reason),
  worded('By', ({ lost }) => lost?.by),
];

function rowsOf({ record, firstPlan, entries }: ExportInput): Row[] {
  if (record.phases.length === 0) return [];
  return timeSheet({ plan: firstPlan, record, entries }).days.flatMap(({ date, stretches }) =>
    stretches.map((one) => ({ ...one, day: date })),
  );
}

export function* timeCsv(input: ExportInput): Generator<string> {
  yield* tableCsv(COLUMNS, rowsOf(input), input);
}
