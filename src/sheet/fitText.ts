/** Text fitted into a width: wrapped at its words, cut with an ellipsis where it may have no more lines. */
import { type Measure, printable } from './pen.ts';

const ELLIPSIS = '…';

/** As many characters as fit, with an ellipsis where some do not; surrogate pairs stay whole. */
export function cutText(measure: Measure, text: string, size: number, bold: boolean, width: number): string {
  const shown = printable(text);
  if (measure(shown, size, bold) <= width) return shown;
  const letters = [...shown];
  const fits = (count: number): boolean =>
    measure(letters.slice(0, count).join('').trimEnd() + ELLIPSIS, size, bold) <= width;
  let low = 0;
  let high = letters.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >>> 1;
    if (fits(middle)) low = middle;
    else high = middle - 1;
  }
  return letters.slice(0, low).join('').trimEnd() + ELLIPSIS;
}

/** The longest beginning of a word that fits, at least one letter. */
function headOf(measure: Measure, word: string, size: number, bold: boolean, width: number): string {
  let head = '';
  for (const letter of word) {
    if (head !== '' && measure(head + letter, size, bold) > width) return head;
    head += letter;
  }
  return head;
}

/**
 * @param mostLines what is beyond is cut with an ellipsis @returns at least one line
 */
export function wrapText(
  measure: Measure,
  text: string,
  size: number,
  bold: boolean,
  width: number,
  mostLines = Number.POSITIVE_INFINITY,
): string[] {
  const lines: string[] = [];
  let current = '';
  const words = printable(text).split(' ').filter(Boolean);
  for (let i = 0; i < words.length; i += 1) {
    let word = words[i]!;
    const joined = current === '' ? word : `${current} ${word}`;
    if (measure(joined, size, bold) <= width) {
      current = joined;
      continue;
    }
    if (lines.length === mostLines - 1) {
      // The last line that there may be: everything that is left, cut.
      const rest = [current, ...words.slice(i)].filter(Boolean).join(' ');
      return [...lines, cutText(measure, rest, size, bold, width)];
    }
    if (current !== '') {
      lines.push(current);
      current = '';
      i -= 1;
      continue;
    }
    const head = headOf(measure, word, size, bold, width);
    lines.push(head);
    word = word.slice(head.length);
    if (word !== '') {
      words[i] = word;
      i -= 1;
    }
  }
  if (current !== '' || lines.length === 0) lines.push(current);
  return lines;
}
