/** What every file for others is written from. */
import type { UnitSystem } from '../units.ts';
import type { WorkedCourse } from './workedCourse.ts';

export interface ExportInput extends WorkedCourse {
  /** Of the run, as people call it. */
  readonly name: string;
  /** That the file is written in. */
  readonly units: UnitSystem;
}

/** Rows that are put together before they are passed on: a few milliseconds of work. */
export const ROWS_A_CHUNK = 256;

/** `rowText` of every row, some at a time. A piece may be empty: then there was only work to do. */
export function* rowChunks(rows: number, rowText: (row: number) => string): Generator<string> {
  for (let from = 0; from < rows; from += ROWS_A_CHUNK) {
    let text = '';
    for (let row = from; row < Math.min(rows, from + ROWS_A_CHUNK); row += 1) text += rowText(row);
    yield text;
  }
}
