/**
 * The least that any decoder of a stream of lines must do: find the lines in chunks that are cut anywhere, read the code
 * and the number of each. No packets, no text, no limits, nothing checked: a ceiling, not a decoder.
 */
const LF = 10;
const MINUS = 45;
const DOT = 46;
const ZERO = 48;
const LONGEST_LINE = 64 * 1024;
const POWERS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

export class ByteScanner {
  readonly #buffer: Uint8Array;
  #kept = 0;
  lines = 0;
  sum = 0;

  constructor(chunkBytes: number) {
    this.#buffer = new Uint8Array(chunkBytes + LONGEST_LINE);
  }

  push(chunk: Uint8Array): void {
    const buffer = this.#buffer;
    buffer.set(chunk, this.#kept);
    const end = this.#kept + chunk.length;
    const stop = buffer.lastIndexOf(LF, end - 1) + 1;
    let at = 0;
    let { lines, sum } = this;
    while (at < stop) {
      const code =
        ((buffer[at]! - ZERO) * 10 + buffer[at + 1]! - ZERO) * 100 +
        (buffer[at + 2]! - ZERO) * 10 +
        buffer[at + 3]! -
        ZERO;
      if (code >>> 0 > 9999) {
        while (buffer[at] !== LF) at++;
        at++;
        continue;
      }
      at += 4;
      const isNegative = buffer[at] === MINUS;
      if (isNegative) at++;
      let mantissa = 0;
      let digit = buffer[at]! - ZERO;
      while (digit >>> 0 <= 9) {
        mantissa = mantissa * 10 + digit;
        digit = buffer[++at]! - ZERO;
      }
      if (buffer[at] === DOT) {
        const from = ++at;
        digit = buffer[at]! - ZERO;
        while (digit >>> 0 <= 9) {
          mantissa = mantissa * 10 + digit;
          digit = buffer[++at]! - ZERO;
        }
        mantissa /= POWERS[at - from]!;
      }
      while (buffer[at] !== LF) at++;
      at++;
      lines++;
      sum += isNegative ? -mantissa : mantissa;
    }
    this.lines = lines;
    this.sum = sum;
    buffer.copyWithin(0, stop, end);
    this.#kept = end - stop;
  }
}
