/** The joints and the events of the record as CSV, one a row. */
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import { converter, type Quantity, type UnitSystem } from '../units.ts';
import { csvRow, textCell } from './csvRow.ts';
import type { ExportInput } from './exportInput.ts';
import { asciiUnit, unitOf } from './fileUnits.ts';
import { instantText } from './instantText.ts';
import { fixedText } from './numberText.ts';

/** Decimals of what had to be converted; what the record has in these units already is written as it stands. */
const CONVERTED_DECIMALS = 3;

interface Cells {
  number(value: number | null | undefined): string;
  measure(value: number | null | undefined, quantity: Quantity): string;
  text(value: string | null | undefined): string;
  instant(value: string | null | undefined): string;
}

function cellsFor({ record, job, units }: ExportInput): Cells {
  const from = converter(record.units);
  const to = converter(units);
  const converted = (value: number, quantity: Quantity): number =>
    Number(to.out(quantity, from.in(quantity, value)).toFixed(CONVERTED_DECIMALS));
  return {
    number: (value) => (value === null || value === undefined ? '' : fixedText(value)),
    measure(value, quantity) {
      if (value === null || value === undefined) return '';
      return fixedText(record.units === units ? value : converted(value, quantity));
    },
    text: (value) => textCell(value ?? ''),
    instant: (value) => (value ? instantText(Date.parse(value), job.stream.utcOffsetMs) : ''),
  };
}

export interface Column<Row> {
  readonly title: string;
  readonly quantity?: Quantity;
  cell(row: Row, cells: Cells): string;
}

const measured = <Row>(title: string, quantity: Quantity, value: (row: Row) => number | null | undefined) => ({
  title,
  quantity,
  cell: (row: Row, cells: Cells) => cells.measure(value(row), quantity),
});
export const counted = <Row>(title: string, value: (row: Row) => number) => ({
  title,
  cell: (row: Row, cells: Cells) => cells.number(value(row)),
});
export const worded = <Row>(title: string, value: (row: Row) => string | null | undefined) => ({
  title,
  cell: (row: Row, cells: Cells) => cells.text(value(row)),
});
export const timed = <Row>(title: string, value: (row: Row) => string | null | undefined) => ({
  title,
  cell: (row: Row, cells: Cells) => cells.instant(value(row)),
});

const JOINT_COLUMNS: readonly Column<RecordJoint>[] = [
  worded('Joint', ({ name }) => name),
  worded('Kind', ({ kind }) => kind),
  worded('Zone', ({ zone }) => zone),
  measured('Top', 'length', ({ top }) => top),
  measured('Bottom', 'length', ({ bottom }) => bottom),
  measured('Required', 'length', ({ required }) => required),
  measured('Expanded', 'length', ({ expanded }) => expanded),
  measured('Unproven', 'length', ({ unproven }) => unproven),
  measured('Uncertainty', 'length', ({ uncertainty }) => uncertainty),
  counted('Coverage', ({ coverage }) => coverage),
  measured('Longest gap', 'length', ({ longestGap }) => longestGap),
  worded('Verdict', ({ verdict }) => verdict),
  worded('Could be', ({ couldBe }) => couldBe?.join(', ')),
  counted('Gaps', ({ gaps }) => gaps.length),
  worded('Causes of gaps', ({ gaps }) => [...new Set(gaps.map(({ cause }) => cause))].join(', ')),
  measured('Pressure, least', 'pressure', ({ pressure }) => pressure?.min),
  measured('Pressure, mean', 'pressure', ({ pressure }) => pressure?.mean),
  measured('Pressure, most', 'pressure', ({ pressure }) => pressure?.max),
  measured('Feed, mean', 'feed', ({ feed }) => feed?.mean),
  counted('Passes', ({ passes }) => passes),
  counted('Stalls', ({ stalls }) => stalls),
  counted('Minutes', ({ minutes }) => minutes),
  timed('Started', ({ startedAt }) => startedAt),
  timed('Finished', ({ finishedAt }) => finishedAt),
  worded('Decision', ({ decision }) => decision?.action),
  worded('Decided by', ({ decision }) => decision?.by),
  timed('Decided', ({ decision }) => decision?.at),
  worded('Reason', ({ decision }) => decision?.reason),
];

const EVENT_COLUMNS: readonly Column<RunRecord['events'][number]>[] = [
  worded('Event', ({ kind }) => kind),
  worded('Priority', ({ priority }) => priority),
  worded('Form', ({ form }) => form),
  worded('Joint', ({ joint }) => joint),
  measured('Depth', 'length', ({ depth }) => depth),
  timed('From', ({ from }) => from),
  timed('To', ({ to }) => to),
  worded('Detail', ({ detail }) => detail),
  worded('Acknowledged by', ({ acknowledged }) => acknowledged?.by),
  timed('Acknowledged', ({ acknowledged }) => acknowledged?.at),
];

function headerOf<Row>(columns: readonly Column<Row>[], units: UnitSystem): string {
  return csvRow(
    columns.map(({ title, quantity }) =>
      textCell(quantity ? `${title} (${asciiUnit(unitOf(quantity, units))})` : title),
    ),
  );
}

export function* tableCsv<Row>(
  columns: readonly Column<Row>[],
  rows: readonly Row[],
  input: ExportInput,
): Generator<string> {
  const cells = cellsFor(input);
  yield headerOf(columns, input.units);
  for (const row of rows) yield csvRow(columns.map((column) => column.cell(row, cells)));
}

export const jointsCsv = (input: ExportInput): Generator<string> => tableCsv(JOINT_COLUMNS, input.record.joints, input);

export const eventsCsv = (input: ExportInput): Generator<string> => tableCsv(EVENT_COLUMNS, input.record.events, input);
