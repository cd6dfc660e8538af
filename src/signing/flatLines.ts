/**
 * A value as lines of text, one for each thing in it: `recipes.screen.pressure.max = 11000`. Equal values make equal lines
 * whatever the order of their keys; different ones never make the same, since all text in them is quoted.
 */

const PLAIN_KEY = /^[A-Za-z][\w-]*$/;

/** Where there is no key: written as no key is. */
const WHOLE = '(whole)';

const keyText = (key: string): string => (PLAIN_KEY.test(key) ? key : JSON.stringify(key));

/** By code units: the same on every machine. */
const byName = ([a]: [string, unknown], [b]: [string, unknown]): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * @param value plain data as JSON holds it; what is undefined is left out
 * @param place what the lines begin with; empty: nothing
 */
export function flatLines(value: unknown, place = ''): string[] {
  if (typeof value !== 'object' || value === null) return [`${place || WHOLE} = ${JSON.stringify(value) ?? 'null'}`];
  if (Array.isArray(value)) {
    if (value.length === 0) return [`${place || WHOLE} = []`];
    return value.flatMap((each, i) => flatLines(each, `${place}[${i}]`));
  }
  const entries = Object.entries(value)
    .filter(([, each]) => each !== undefined)
    .sort(byName);
  if (entries.length === 0) return [`${place || WHOLE} = {}`];
  return entries.flatMap(([key, each]) => flatLines(each, place ? `${place}.${keyText(key)}` : keyText(key)));
}
