/** JSON text to a value; a fault names the line and the column, which the engine's own message does not always do. */
import { Fault } from '../../src/fault.ts';
import { shown } from './schemaFaults.ts';

/** @throws Fault `not json`. */
export function parseJson(file: string, text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    const position = faultPosition(text);
    const before = text.slice(0, position);
    const place = `line ${before.split('\n').length}, column ${position - before.lastIndexOf('\n')}`;
    const found = position === text.length ? 'the end of the file' : shown(text[position]);
    throw new Fault('not json', `${file}: ${place}: found ${found}, expected JSON`);
  }
}

/** Index of the first character that no JSON text could have there: a bisection over the prefixes. */
function faultPosition(text: string): number {
  if (!isBroken(text)) return text.length;
  let whole = 0;
  let broken = text.length;
  while (broken - whole > 1) {
    const middle = (whole + broken) >>> 1;
    if (isBroken(text.slice(0, middle))) broken = middle;
    else whole = middle;
  }
  return broken - 1;
}

/** Whether a prefix is wrong in itself, and not just cut short. */
function isBroken(prefix: string): boolean {
  try {
    JSON.parse(prefix);
    return false;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    if (/end of JSON input|Unterminated string/.test(error.message)) return false;
    const at = /at position (\d+)/.exec(error.message);
    return at === null || Number(at[1]) < prefix.length;
  }
}
