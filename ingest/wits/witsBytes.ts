/** The bytes that WITS level 0 is made of, and how a line of them is told apart. */

export const TAB = 9;
export const LF = 10;
export const CR = 13;
export const SPACE = 32;
export const BANG = 33;
export const AMP = 38;
export const PLUS = 43;
export const MINUS = 45;
export const DOT = 46;
export const ZERO = 48;
export const UPPER_I = 73;

export function latin1(bytes: Uint8Array, from: number, to: number): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset + from, to - from).toString('latin1');
}

/** Index of the CR, LF, `!!` or `&&` that ends the line, or -1 when it is not in bytes[from, to). */
export function lineEnd(bytes: Uint8Array, from: number, to: number): number {
  for (let i = from; i < to; i++) {
    const b = bytes[i]!;
    if (b === LF || b === CR) return i;
    if ((b === BANG || b === AMP) && i + 1 < to && bytes[i + 1] === b) return i;
  }
  return -1;
}

/** Whether text that begins with this byte can be a number to Number(): a digit, sign, point, `Infinity`, odd blanks. */
export function mayBeNumber(first: number): boolean {
  return (
    (first - ZERO) >>> 0 <= 9 ||
    first === MINUS ||
    first === PLUS ||
    first === DOT ||
    first === UPPER_I ||
    first <= SPACE ||
    first >= 0x7f
  );
}

/** The four-digit code that a line begins with, record 01 to 99 and item 01 to 99; -1 when it begins with none. */
export function codeAt(bytes: Uint8Array, at: number, stop: number): number {
  if (stop - at < 4) return -1;
  let code = 0;
  for (let i = at; i < at + 4; i++) {
    const digit = bytes[i]! - ZERO;
    if (digit >>> 0 > 9) return -1;
    code = code * 10 + digit;
  }
  return code < 101 || code % 100 === 0 ? -1 : code;
}
