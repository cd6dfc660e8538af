/** Plans and journals that mean harm: read as what they are, or refused in one line a fault; no object is poisoned. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readChannelMap } from '../../server/plan/readChannelMap.ts';
import { readJournal } from '../../server/plan/readJournal.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { Fault } from '../../src/fault.ts';
import { advance, createRun } from '../../src/pipeline/run.ts';
import { compileJob } from '../../src/plan/job.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { recordOf } from '../../src/record/record.ts';
import { NO_SOURCE, smallPlan } from '../export/exportedRun.ts';

const PLAN = readFileSync('replay-data/demo-plan.json', 'utf8');
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-json-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const written = (text: string): string => {
  const file = join(folder, 'file.json');
  writeFileSync(file, text);
  return file;
};
async function faultOf(reading: Promise<unknown>): Promise<Fault> {
  const error = await reading.then(
    () => new Error('it was read'),
    (reason: unknown) => reason as Error,
  );
  if (!(error instanceof Fault)) throw error;
  for (const line of error.message.split('\n')) expect(line.length).toBeLessThan(1000);
  expect(error.message.split('\n').length).toBeLessThan(30);
  return error;
}

const DEEP = 200_000;
const MANY = Array.from({ length: 100_000 }, (_, i) => `"k${i}":${i}`).join(',');

describe.each([
  ['a plan', (file: string) => readPlan(file)],
  ['a channel map', (file: string) => readChannelMap(file)],
  ['a journal', (file: string) => readJournal(file, planSchema.parse(JSON.parse(PLAN)))],
])('%s', (_, read) => {
  test.each<[string, string]>([
    ['that nests without end', '['.repeat(DEEP)],
    ['that nests deep', '['.repeat(DEEP) + ']'.repeat(DEEP)],
    ['of objects that nest deep', `${'{"a":'.repeat(DEEP)}1${'}'.repeat(DEEP)}`],
    ['with 100,000 keys', `{${MANY}}`],
    ['that poisons', '{"__proto__":{"format":"jointwise-plan/1","polluted":true}}'],
    ['with a constructor', '{"constructor":{"prototype":{"polluted":true}}}'],
    ['that is no object', 'null'],
    ['that is text without end', `"${'x'.repeat(1_000_000)}`],
  ])('%s is refused', async (_, text) => {
    await faultOf(read(written(text)));
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });
});

test('a plan with 100,000 unknown keys is read, and the first of them are said', async () => {
  const { warnings } = await readPlan(written(PLAN.replace('{', `{${MANY},`)));
  expect(warnings.length).toBe(20);
});

test.each([
  ['that JavaScript gives a meaning: __proto__', '__proto__'],
  ['that is half a character, which no address can hold', '\\ud800'],
])('a plan may have no joint, tool or recipe by a name %s', async (_what, name) => {
  const plan = PLAN.replace('"name": "S1"', () => `"name": "${name}"`);
  expect(plan).not.toBe(PLAN);
  expect((await faultOf(readPlan(written(plan)))).code).toBe('bad plan');
});

test('a joint called as something that every object has is decided on by people alone', () => {
  const plan = smallPlan();
  const names = ['constructor', 'toString', 'hasOwnProperty'];
  plan.liner.joints.forEach((joint, i) => {
    joint.name = names[i]!;
  });
  const run = createRun(compileJob(plan));
  expect(recordOf(run, NO_SOURCE).joints.map(({ decision }) => decision)).toEqual([undefined, undefined, undefined]);
  const entry = { at: '2031-03-04T00:00:00Z', by: 'A', action: 'accept', joint: 'toString', reason: 'seen' } as const;
  advance(run, { kind: 'journal', entry });
  expect(recordOf(run, NO_SOURCE).joints.map(({ decision }) => decision?.action)).toEqual([
    undefined,
    'accept',
    undefined,
  ]);
});

test('scripts in names are names', async () => {
  const script = '<script>alert(1)</script>';
  const { plan } = await readPlan(written(PLAN.replace('"name": "S1"', `"name": "${script}"`)));
  expect(plan.liner.joints.some(({ name }) => name === script)).toBe(true);
});
