/**
 * The number in a cell. A comma is a decimal mark only where it cannot separate cells, and a table has one decimal mark:
 * the first that is seen decides, so that `18,900` in a table with decimal points is refused and not read as 18.9.
 */
import { isNullWord } from '../wits/nullValue.ts';

/** Words of spreadsheets and other programs for "no value", besides those of every stream. */
const NULL_WORDS = new Set([
  '#N/A',
  '#VALUE!',
  '#DIV/0!',
  '#REF!',
  '#NUM!',
  '#NULL!',
  'NIL',
  '(NULL)',
  'INFINITY',
  '?',
]);
const LONGEST_NUMBER = 40;
const COMMA = /^[+-]?\d*,\d+(?:[eE][+-]?\d+)?$/;
const POINT = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;

export const UNREADABLE = Symbol('unreadable');

/** `0x1F`, `0b1`, `0o7`: numbers to JavaScript, and to nobody who writes a log. */
function hasBase(text: string): boolean {
  const second = text.charCodeAt(1) | 32;
  return second === 120 || second === 98 || second === 111;
}

export class CellNumbers {
  private mark: 'point' | 'comma' | 'open';

  /** @param commas whether a decimal comma is possible. */
  constructor(commas: boolean) {
    this.mark = commas ? 'open' : 'point';
  }

  /** NaN for a null, `UNREADABLE` for what is no number. `text` has no blanks around it. */
  read(text: string): number | typeof UNREADABLE {
    if (text === '') return Number.NaN;
    if (text.length > LONGEST_NUMBER) return UNREADABLE;
    if (this.mark === 'point') {
      const value = Number(text);
      if (!Number.isNaN(value) && !hasBase(text)) return value;
    }
    return this.readOther(text);
  }

  private readOther(text: string): number | typeof UNREADABLE {
    if (POINT.test(text)) {
      if (!text.includes('.')) return Number(text);
      if (this.mark === 'comma') return UNREADABLE;
      this.mark = 'point';
      return Number(text);
    }
    if (this.mark !== 'point' && COMMA.test(text)) {
      this.mark = 'comma';
      return Number(text.replace(',', '.'));
    }
    return isNullWord(text) || NULL_WORDS.has(text.toUpperCase()) ? Number.NaN : UNREADABLE;
  }
}
