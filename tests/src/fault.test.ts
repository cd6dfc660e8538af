/** The codes of what may fail outside: each used, each use known, and the README tells the same ones. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { FAULT_CODES, Fault, type FaultCode, invariant } from '../../src/fault.ts';
import { filesThatSay, ROOT, sourceFiles, withoutComments } from './sourceText.ts';

const CODES = Object.keys(FAULT_CODES) as FaultCode[];
const EXIT_CODES = 'server/cli/exitCodes.ts';

/** Rows of the README's table headed `| code | meaning |`: the first two cells of each. */
function tableOf(readme: string): [code: string, meaning: string][] {
  const lines = readme.split('\n').map((line) => line.trim());
  const head = lines.findIndex((line) => /^\|\s*code\s*\|\s*meaning\s*\|/.test(line));
  if (head < 0) throw new Error('README.md has no table headed | code | meaning |');
  const end = lines.findIndex((line, i) => i > head && !line.startsWith('|'));
  return lines.slice(head + 2, end < 0 ? undefined : end).map((line) => {
    const [, code, meaning] = line.split('|').map((cell) => cell.trim().replaceAll('`', ''));
    return [code!, meaning!];
  });
}

describe('the codes of faults', () => {
  it('are told by the README, the same ones with the same meaning', () => {
    const told = tableOf(readFileSync(join(ROOT, 'README.md'), 'utf8'));
    expect(Object.fromEntries(told)).toEqual(FAULT_CODES);
  });

  it.each(CODES)('"%s" is raised somewhere', (code) => {
    const files = sourceFiles('src', 'ingest', 'server').filter(
      ({ path }) => path !== 'src/fault.ts' && path !== EXIT_CODES,
    );
    expect(filesThatSay(files, code)).not.toEqual([]);
  });

  it('are the only ones that are raised', () => {
    const raised = sourceFiles('src', 'ingest', 'server').flatMap(({ text }) =>
      [...withoutComments(text).matchAll(/new Fault\(\s*'([^']+)'/g)].map((match) => match[1]!),
    );
    expect(raised.length).toBeGreaterThan(5);
    expect([...new Set(raised)].filter((code) => !(code in FAULT_CODES))).toEqual([]);
  });

  it('a fault carries its code and its line', () => {
    const fault = new Fault('bad plan', 'plan.json: units: found "imperial", expected metric or field');
    expect([fault.code, fault.message, fault.name]).toEqual([
      'bad plan',
      'plan.json: units: found "imperial", expected metric or field',
      'Fault',
    ]);
    expect(fault).toBeInstanceOf(Error);
  });

  it('a broken promise of our own stops loudly, and is no fault', () => {
    expect(() => invariant(true, 'fine')).not.toThrow();
    expect(() => invariant(false, 'samples come in order')).toThrow('broken promise: samples come in order');
    expect(() => invariant(false, 'x')).not.toThrow(Fault);
  });
});
