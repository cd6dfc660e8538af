/** `src` is pure: it reads no clock, no chance and no file, and imports nothing of the layers around it. */
import { posix } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sourceFiles, withoutComments } from './sourceText.ts';

const FILES = sourceFiles('src').map((file) => ({ path: file.path, code: withoutComments(file.text) }));
const OUTSIDE_PACKAGES = ['zod/mini', 'rxjs', 'simple-statistics'];

/** Every form of import: plain, of names, of types, re-exported, and at run time. */
const IMPORT =
  /^(?:import\s+|(?:import|export)\s+(?:type\s+)?[\w*{][\w\s,*{}]*?\s*from\s+)['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm;
const importsOf = (code: string): string[] => [...code.matchAll(IMPORT)].map((match) => match[1] ?? match[2]!);

describe('src', () => {
  it('is there to be read', () => {
    expect(FILES.length).toBeGreaterThan(20);
    expect(FILES.flatMap((file) => importsOf(file.code)).length).toBeGreaterThan(50);
  });

  it.each(FILES)('$path imports only src and the packages it may', ({ path, code }) => {
    for (const name of importsOf(code)) {
      if (name.startsWith('.')) {
        expect(posix.join(posix.dirname(path), name)).toMatch(/^src\//);
        expect(name).toMatch(/\.ts$/);
      } else expect(OUTSIDE_PACKAGES).toContain(name);
    }
  });

  it.each<[string, RegExp]>([
    ['the clock', /\bDate\.now\b|\bnew Date\(\s*\)|\bDate\(\s*\)|\bperformance\b/],
    ['chance', /\bMath\.random\b|\bcrypto\b/],
    ['timers', /\bset(Timeout|Interval|Immediate)\b|\bqueueMicrotask\b|\brequestAnimationFrame\b/],
    ['the machine', /\bprocess\.|\bBuffer\b|\brequire\(|\bfetch\(|\bWebSocket\b|\bconsole\b/],
    ['the local time zone', /\.get(Hours|Minutes|Date|Day|Month|FullYear|TimezoneOffset)\(|\.toLocale\w*\(/],
  ])('does not touch %s', (_what, forbidden) => {
    expect(FILES.filter((file) => forbidden.test(file.code)).map((file) => file.path)).toEqual([]);
  });
});
