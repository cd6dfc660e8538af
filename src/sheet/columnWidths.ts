/** How wide the columns of a table are: numbers and heads have the room that they need, words share what is left. */
import { type Cell, type Column, cellText } from './cell.ts';
import { type Measure, printable } from './pen.ts';

/** A word that is longer is broken, points: a name of 64 letters is not to push the rest off the paper. */
const LONGEST_WORD = 84;

const widest = (measure: Measure, texts: readonly string[], size: number, bold: boolean): number =>
  texts.reduce((most, one) => Math.max(most, measure(one, size, bold)), 0);

interface Wish {
  readonly natural: number;
  readonly least: number;
  /** May be narrower than its longest word where nothing else helps. */
  readonly yields: boolean;
  readonly weight: number;
}

/** @param room for all columns together, points @returns widths that add up to `room` */
export function columnWidths(
  measure: Measure,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  size: number,
  room: number,
): number[] {
  const isBold = (cell: Cell): boolean => typeof cell !== 'string' && cell.bold === true;
  const wishes = columns.map((column, c): Wish => {
    const isNumber = column.align === 'right';
    const headWords = widest(measure, column.head.split(' '), size, true);
    const head = Math.max(Math.min(headWords, LONGEST_WORD), measure(column.unit ?? '', size, false));
    let natural = head;
    let least = head;
    for (const row of rows) {
      const cell = row[c]!;
      const said = printable(cellText(cell));
      const width = measure(said, size, isBold(cell));
      natural = Math.max(natural, width);
      if (isNumber || column.whole) least = Math.max(least, width);
      else least = Math.max(least, Math.min(LONGEST_WORD, widest(measure, said.split(' '), size, isBold(cell))));
    }
    const yields = !isNumber && !column.whole;
    return {
      natural: natural + ROUNDING,
      least: least + ROUNDING,
      yields,
      weight: isNumber ? NUMBER_WEIGHT : WORD_WEIGHT,
    };
  });
  return shared(wishes, room);
}

/** A text is not to be wrapped because its width in two sums differs in the last bit. */
const ROUNDING = 0.01;
/** Of room that nobody needs numbers take a little, so that they stand clear of one another, and words the rest. */
const NUMBER_WEIGHT = 1;
const WORD_WEIGHT = 3;

/** Everyone has what it needs; then small wishes are met before great ones; what is left goes to all by their weights. */
function shared(wishes: readonly Wish[], room: number): number[] {
  const leastSum = sum(wishes.map(({ least }) => least));
  if (leastSum > room) {
    const fixed = sum(wishes.map(({ least, yields }) => (yields ? 0 : least)));
    const narrowed = levelled(
      wishes.map(({ least, yields }) => (yields ? least : 0)),
      room - fixed,
    );
    return wishes.map(({ least, yields }, c) => (yields ? narrowed[c]! : least));
  }
  const left = room - leastSum;
  const wanted = wishes.map(({ natural, least }) => natural - least);
  if (sum(wanted) >= left) {
    const given = levelled(wanted, left);
    return wishes.map(({ least }, c) => least + given[c]!);
  }
  const over = (left - sum(wanted)) / sum(wishes.map(({ weight }) => weight));
  return wishes.map(({ natural, weight }) => natural + over * weight);
}

const sum = (values: readonly number[]): number => values.reduce((total, one) => total + one, 0);

/** Each has what it wants up to a level that is the same for all, so that together they have `room`. */
function levelled(wanted: readonly number[], room: number): number[] {
  let level = 0;
  let left = Math.max(0, room);
  const rising = [...wanted].filter((one) => one > 0).sort((a, b) => a - b);
  rising.forEach((one, i) => {
    const step = Math.min(one - level, left / (rising.length - i));
    if (step <= 0) return;
    level += step;
    left -= step * (rising.length - i);
  });
  return wanted.map((one) => Math.min(one, level));
}
