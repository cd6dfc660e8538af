/** Where one JSON value is not another, in lines with their place: what was changed, by name. */
import { placeOf, shown } from '../plan/schemaFaults.ts';

const LINES = 20;

type Json = unknown;

const isObject = (value: Json): value is Record<string, Json> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** `joints[3]` of a list of things with names is told with its name. */
function named(list: readonly Json[], other: readonly Json[], i: number): string {
  const one = list[i] ?? other[i];
  return isObject(one) && typeof one.name === 'string' ? ` (${shown(one.name)})` : '';
}

/** @returns no more than 20 lines `PLACE: found X, expected Y`, and one that says how many more there are */
export function differences(found: Json, expected: Json): string[] {
  const lines: string[] = [];
  let more = 0;
  const tell = (place: string, a: Json, b: Json): void => {
    if (lines.length < LINES) lines.push(`${place || 'the whole'}: found ${shown(a)}, expected ${shown(b)}`);
    else more += 1;
  };
  const walk = (place: string, a: Json, b: Json): void => {
    if (Array.isArray(a) && Array.isArray(b)) {
      if (a.length !== b.length) tell(place, a, b);
      for (let i = 0; i < Math.min(a.length, b.length); i += 1) {
        walk(`${place}${placeOf([i])}${named(a, b, i)}`, a[i], b[i]);
      }
    } else if (isObject(a) && isObject(b)) {
      for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
        const of = (value: Record<string, Json>): Json => (Object.hasOwn(value, key) ? value[key] : undefined);
        walk(place === '' ? key : `${place}.${key}`, of(a), of(b));
      }
    } else if (!Object.is(a, b)) tell(place, a, b);
  };
  walk('', found, expected);
  return more > 0 ? [...lines, `${more} places more are different`] : lines;
}

/** The same of two texts; where one is no JSON, or they differ in their layout alone, that is the line. */
export function textDifferences(found: string, expected: string): string[] {
  if (found === expected) return [];
  try {
    const lines = differences(JSON.parse(found), JSON.parse(expected));
    return lines.length > 0 ? lines : ['the whole: found another layout of the same, expected it as it was kept'];
  } catch (error) {
    // Also a value so deep that it cannot be walked.
    if (error instanceof SyntaxError || error instanceof RangeError) return ['the whole: found other text'];
    throw error;
  }
}
