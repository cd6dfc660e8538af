/** Which numbers and words mean "no value". Compared as numbers, since sources send nulls with float noise. */

const TOLERANCE = 0.01;
/** No reading of a rig is this large, in any unit. */
const ABSURD = 1e12;
const SHORT_NULL = -32_768;
/** A word in place of a number; dashes of any number besides. */
const NULL_WORDS = new Set(['NAN', 'NULL', 'NA', 'N/A', 'NONE', 'INF', '+INF', '-INF']);

export function isNullWord(text: string): boolean {
  return NULL_WORDS.has(text.toUpperCase()) || /^-+$/.test(text);
}

export class NullValues {
  private readonly nulls: Float64Array;
  private readonly lowest: number;
  private readonly highest: number;

  constructor(nulls: readonly number[]) {
    this.nulls = Float64Array.from(nulls);
    this.lowest = Math.min(...nulls) - TOLERANCE;
    this.highest = Math.max(...nulls) + TOLERANCE;
  }

  /** Whether a number as it stands on the line means "no value". `short`: the item is a two-byte integer. */
  has(value: number, short: boolean): boolean {
    if (!(value > -ABSURD && value < ABSURD)) return true;
    if (short && Math.abs(value - SHORT_NULL) < TOLERANCE) return true;
    if (value > this.highest || value < this.lowest) return false;
    for (const none of this.nulls) if (Math.abs(value - none) < TOLERANCE) return true;
    return false;
  }
}
