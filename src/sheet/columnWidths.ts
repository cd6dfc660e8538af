/** How wide the columns of a table are: numbers and heads have the room that they need, words share what is left. */
import { type Cell, type Column, cellText } from './cell.ts';
import type { Measure } from './pen.ts';

/** A word that is longer is broken, points: a name of 64 letters is not to push the rest off the paper. */
const LONGEST_WORD = 84;

const widest = (measure: Measure, texts: readonly string[], size: number, bold: boolean): number =>
  texts.reduce((most, one) => Math.max(most, measure(one, size, bold)), 0);

/** @param room for all columns together, points @returns widths that add up to `room` */
export function columnWidths(
  measure: Measure,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  size: number,
  room: number,
): number[] {
  const isBold = (cell: Cell): boolean => typeof cell !== 'string' && cell.bold === true;
  const sizes = columns.map((column, c) => {
    const headWords = widest(measure, column.head.split(' '), size, true);
    const head = Math.max(Math.min(headWords, LONGEST_WORD), measure(column.unit ?? '', size, false));
    let natural = Math.max(head, 0);
    let least = head;
    for (const row of rows) {
      const cell = row[c]!;
      const said = cellText(cell);
      const width = measure(said, size, isBold(cell));
      natural = Math.max(natural, width);
      if (column.align === 'right' || column.whole) least = Math.max(least, width);
      else least = Math.max(least, Math.min(LONGEST_WORD, widest(measure, said.split(' '), size, isBold(cell))));
    }
    return { natural: natural + 0.01, least: least + 0.01 };
  });
  const takesMore = columns.map(({ align }) => align !== 'right');
  return shared(sizes, takesMore.includes(true) ? takesMore : takesMore.map(() => true), room);
}

/** Everyone has at least what it needs; what is left goes where more is wanted, then evenly to those that take more. */
function shared(
  sizes: readonly { readonly natural: number; readonly least: number }[],
  takesMore: readonly boolean[],
  room: number,
): number[] {
  const leastSum = sizes.reduce((sum, { least }) => sum + least, 0);
  if (leastSum >= room) return sizes.map(({ least }) => (least * room) / leastSum);
  const wanted = sizes.map(({ natural, least }) => natural - least);
  const wantedSum = wanted.reduce((sum, one) => sum + one, 0);
  const left = room - leastSum;
  if (wantedSum >= left) return sizes.map(({ least }, c) => least + (wanted[c]! * left) / wantedSum);
  const over = (left - wantedSum) / takesMore.filter(Boolean).length;
  return sizes.map(({ natural }, c) => natural + (takesMore[c] ? over : 0));
}
