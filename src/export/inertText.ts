/**
 * Text cells that a spreadsheet would run as a formula get an apostrophe in front (OWASP ASVS 5.0, 1.2.10), and so do those
 * that begin with one, so that it can be taken away again: `plainText(inertText(text))` is `text`, whatever it is. Numbers
 * never come this way: a negative one stays as it is.
 */

/** Also the wide forms that some spreadsheets take for the same. */
const RUNS = '=+-@\t\r\n\0\uFF1D\uFF0B\uFF0D\uFF20';
const MARK = "'";

const isMarked = (first: string): boolean => first !== '' && (RUNS.includes(first) || first === MARK);

export const inertText = (text: string): string => (isMarked(text.charAt(0)) ? `${MARK}${text}` : text);

export const plainText = (cell: string): string =>
  cell.startsWith(MARK) && isMarked(cell.charAt(1)) ? cell.slice(1) : cell;
