/** A log in LAS 2.0 from its whole text: curves with their units and the rows as text cells with their line. */
import { createLasFold, type LasCurve, type LasRow, saysNothing, takeLasLine } from './lasFold.ts';

export interface LasText {
  readonly version: string;
  /** As written, '' where the file does not say. */
  readonly nullValue: string;
  readonly curves: readonly LasCurve[];
  readonly rows: readonly LasRow[];
  /** Line of the ~C section, 0 where there is none. */
  readonly curvesLine: number;
  readonly dataLine: number;
}

const LINE_END = /\r\n|\n|\r/;

/** Whether a text is LAS at all: its first line that says anything starts a section. */
export function isLasText(text: string): boolean {
  const first = linesOf(text).find((line) => !saysNothing(line.trim()));
  return first?.trimStart().startsWith('~') ?? false;
}

/** The lines of a text, without a byte order mark. */
export const linesOf = (text: string): string[] => text.replace(/^\uFEFF/, '').split(LINE_END);

/** Everything of the text that a log needs, no more than `mostRows` rows of it. A wrapped row cut short is given as it is. */
export function readLasText(text: string, mostRows: number): LasText {
  const fold = createLasFold();
  const rows: LasRow[] = [];
  const lines = linesOf(text);
  for (let i = 0; i < lines.length && rows.length < mostRows; i += 1) {
    takeLasLine(fold, lines[i]!.trim(), i + 1, (row) => rows.push(row));
  }
  if (fold.open !== null) rows.push(fold.open);
  const { version, nullValue, curves, curvesLine, dataLine } = fold;
  return { version, nullValue, curves, rows, curvesLine, dataLine };
}
