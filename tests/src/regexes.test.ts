/**
 * No text makes a regular expression of ours run for long: each is tried on 100 kB of what it is likely to stumble over, and
 * stopped where it has not ended after a second, which no expression that takes steps in proportion comes near.
 */
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import { builtRegexes, type FoundRegex, regexesIn } from './regexes.ts';

const FOLDERS = ['src', 'ingest', 'server'] as const;
const REGEXES = regexesIn(...FOLDERS);
const LENGTH = 100_000;
const STOP_MS = 1000;

const SEEDS = [
  ...[
    'a',
    'A',
    '0',
    '9',
    ' ',
    '\t',
    '\n',
    '\r',
    '-',
    '.',
    ',',
    ':',
    '/',
    '\\',
    '(',
    '[',
    '{',
    '<',
    '"',
    "'",
    '=',
    '_',
    '#',
    '~',
    '&',
    '!',
    'é',
    '\0',
    '\ud800',
  ],
  ...['0.', 'a ', ' a', '1,', '00', 'a.', '<a', '< ', '](', '-a', '2031-', '\r\n', ' ,', 'aA0', '/*', '${'],
];

/** Characters that the pattern itself names, in the order in which it names them: what leads into its loops. */
const leadIn = (pattern: string): string =>
  pattern
    .replace(/\\[dw]/g, '0')
    .replace(/\\s/g, ' ')
    .replace(/\(\?[:=!<]+/g, '')
    .replace(/\\(.)/g, '$1')
    .replace(/[()[\]{}^$*+?|]/g, '')
    .slice(0, 40);

function* evilTexts(pattern: string): Generator<string> {
  const lead = leadIn(pattern);
  for (const seed of SEEDS) {
    const many = seed.repeat(LENGTH / seed.length);
    yield many;
    yield `${many}\u0001`;
    yield `${lead}${many}!`;
  }
  if (lead !== '') yield lead.repeat(Math.ceil(LENGTH / lead.length));
}

/** The longest that any of the texts took, ms; what is stopped takes no longer than that. */
function slowest({ pattern, flags }: FoundRegex): { readonly ms: number; readonly text: string } {
  const regex = new RegExp(pattern, flags.replace('g', '').replace('y', ''));
  let worst = { ms: 0, text: '' };
  for (const text of evilTexts(pattern)) {
    const from = performance.now();
    try {
      runInNewContext('regex.test(text)', { regex, text }, { timeout: STOP_MS });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ERR_SCRIPT_EXECUTION_TIMEOUT') throw error;
      return { ms: STOP_MS, text };
    }
    const ms = performance.now() - from;
    if (ms > worst.ms) worst = { ms, text };
  }
  return worst;
}

test('the sources have regular expressions, and none is put together at run time', () => {
  expect(REGEXES.length).toBeGreaterThan(80);
  expect(builtRegexes(...FOLDERS)).toEqual([]);
});

test('one that runs away is found', () => {
  for (const pattern of ['^(a+)+$', 'a*a*a*b$', '\\s+$']) {
    expect(slowest({ place: '', pattern, flags: '' }).ms).toBe(STOP_MS);
  }
});

test.each(REGEXES.map((regex) => [regex.place, regex] as const))('%s', (_, regex) => {
  expect(slowest(regex).ms).toBeLessThan(STOP_MS);
});
