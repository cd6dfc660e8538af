/** What a zod schema found wrong in a file, as lines `PLACE: found X, expected Y`. */
import type { z } from 'zod/mini';

/** Lines printed for one file; a plan of the wrong kind altogether would otherwise fill the screen. */
const LINES_SHOWN = 20;
const FOUND_SHOWN_CHARS = 60;
/** What an issue says whose schema was given no words of its own. */
const NO_WORDS = 'Invalid input';

/** `liner.joints[3].kind` */
export function placeOf(path: readonly PropertyKey[]): string {
  let place = '';
  for (const part of path) place += typeof part === 'number' ? `[${part}]` : `${place && '.'}${String(part)}`;
  return place || 'the whole';
}

function valueAt(root: unknown, path: readonly PropertyKey[]): unknown {
  let value = root;
  for (const part of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, part)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[part];
  }
  return value;
}

/** A value as it is shown in a fault line: always one line, never long. */
export function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  const text = JSON.stringify(value);
  return text.length > FOUND_SHOWN_CHARS ? `${text.slice(0, FOUND_SHOWN_CHARS)}…` : text;
}

const A_LIST_OF = { string: 'characters', array: 'entries', map: 'entries', set: 'entries' } as Record<string, string>;

function bound(words: string, limit: number | bigint, origin: string): string {
  const of = A_LIST_OF[origin];
  return of ? `${words} ${limit} ${of}` : `${origin === 'number' ? 'a number' : origin} ${words} ${limit}`;
}

function expected(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return `a value of type ${issue.expected}`;
    case 'invalid_value':
      return issue.values.length === 1
        ? JSON.stringify(issue.values[0])
        : `one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`;
    case 'too_small':
      return bound(issue.inclusive === false ? 'more than' : 'at least', issue.minimum, issue.origin);
    case 'too_big':
      return bound(issue.inclusive === false ? 'less than' : 'at most', issue.maximum, issue.origin);
    case 'invalid_key':
      return issue.issues[0]?.message ?? 'another key';
    case 'invalid_format':
      if (issue.format === 'datetime') return 'an instant such as "2031-03-04T05:06:07Z"';
      return issue.message === NO_WORDS ? `text like ${issue.pattern ?? issue.format}` : issue.message;
    case 'invalid_union':
      return issue.message === NO_WORDS ? 'one of the known forms' : issue.message;
    default:
      return issue.message;
  }
}

/** One line a fault, without the file's name. `root` is the value that was judged. */
export function schemaFaults(issues: readonly z.core.$ZodIssue[], root: unknown): string[] {
  const lines = issues.map((issue) => {
    const found =
      issue.code === 'invalid_key' ? `the key ${shown(issue.path.at(-1))}` : shown(valueAt(root, issue.path));
    return `${placeOf(issue.path)}: found ${found}, expected ${expected(issue)}`;
  });
  const more = lines.length - LINES_SHOWN;
  return more > 0 ? [...lines.slice(0, LINES_SHOWN), `the whole: found ${more} faults more, expected none`] : lines;
}
