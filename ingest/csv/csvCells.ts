/**
 * The cells of a line of RFC 4180: quoted cells may hold the separator, line ends and doubled quotes. Read generously: a
 * quote inside a cell that does not begin with one is a character like any other.
 */

export const SEPARATORS = [';', '\t', ','] as const;
export type Separator = (typeof SEPARATORS)[number];

const QUOTE = '"';

/** Null: a quoted cell is still open at the end of the line. No more than `most` cells are read. */
export function csvCells(line: string, separator: Separator, most: number): string[] | null {
  if (!line.includes(QUOTE)) return line.split(separator, most);
  const cells: string[] = [];
  let from = 0;
  while (cells.length < most) {
    const start = blanksFrom(line, from, separator);
    if (line[start] !== QUOTE) {
      const stop = line.indexOf(separator, from);
      cells.push(line.slice(from, stop < 0 ? line.length : stop));
      if (stop < 0) return cells;
      from = stop + 1;
      continue;
    }
    const close = closingQuote(line, start + 1);
    if (close < 0) return null;
    const stop = line.indexOf(separator, close + 1);
    const rest = line.slice(close + 1, stop < 0 ? line.length : stop).trim();
    cells.push(line.slice(start + 1, close).replaceAll('""', QUOTE) + rest);
    if (stop < 0) return cells;
    from = stop + 1;
  }
  return cells;
}

/** Blanks before a quote are none of its cell. */
function blanksFrom(line: string, from: number, separator: Separator): number {
  let at = from;
  while (line[at] === ' ' || (line[at] === '\t' && separator !== '\t')) at++;
  return line[at] === QUOTE ? at : from;
}

function closingQuote(line: string, from: number): number {
  for (let at = line.indexOf(QUOTE, from); at >= 0; at = line.indexOf(QUOTE, at + 2)) {
    if (line[at + 1] !== QUOTE) return at;
  }
  return -1;
}
