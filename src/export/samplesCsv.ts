/** The samples of a run as CSV: units in the header, ISO 8601 times in the rig's zone, an empty cell for no value. */
import { csvRow, textCell } from './csvRow.ts';
import { type ExportInput, rowChunks } from './exportInput.ts';
import { asciiUnit } from './fileUnits.ts';
import { instantText } from './instantText.ts';
import { type TimeColumn, timeColumns } from './timeTable.ts';

const titleOf = ({ title, unit }: TimeColumn): string => (unit === null ? title : `${title} (${asciiUnit(unit)})`);

/** Phases and joints by their names. */
function cellOf({ values, kind, names, text }: TimeColumn, row: number): string {
  const value = values[row]!;
  if (Number.isNaN(value)) return '';
  return kind === 'code' ? textCell(names[value - 1]!) : text(value);
}

export function* samplesCsv(input: ExportInput): Generator<string> {
  const { samples, job, units } = input;
  const columns = timeColumns(input, units);
  yield csvRow(['Time', ...columns.map((column) => textCell(titleOf(column)))]);
  yield* rowChunks(samples.rows, (row) =>
    csvRow([
      instantText(samples.sourceMs[row]!, job.stream.utcOffsetMs),
      ...columns.map((column) => cellOf(column, row)),
    ]),
  );
}
