/** Sheets one below the other as one, for where there are no pages to turn. */
import { invariant } from '../fault.ts';
import { line } from './pen.ts';
import type { Mark, Sheet } from './sheet.ts';

function moved(mark: Mark, down: number): Mark {
  if (mark.kind !== 'line') return { ...mark, y: mark.y + down };
  return { ...mark, runs: mark.runs.map((run) => run.map((value, i) => (i % 2 === 0 ? value : value + down))) };
}

/** @param sheets at least one */
export function stackedSheet(sheets: readonly Sheet[]): Sheet {
  const [first] = sheets;
  invariant(first !== undefined, 'there is a sheet to be stacked');
  if (sheets.length === 1) return first;
  const width = Math.max(...sheets.map((sheet) => sheet.width));
  const marks: Mark[] = [];
  let height = 0;
  for (const sheet of sheets) {
    const down = height;
    if (down > 0) marks.push(line([0, down, width, down], 'faint', 0.8, [4, 4]));
    for (const mark of sheet.marks) marks.push(moved(mark, down));
    height += sheet.height;
  }
  return { ...first, width, height, marks };
}
