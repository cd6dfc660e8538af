import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { checkSchema } from '../../src/check/checkSchema.ts';
import { run, start } from '../support/program.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

const PLAN = 'replay-data/demo-plan.json';
const CALIPER = 'replay-data/demo-caliper.csv';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-check-'));
});
afterEach(() => rm(folder, { recursive: true }));

const file = async (name: string, text: string): Promise<string> => {
  const path = join(folder, name);
  await writeFile(path, text);
  return path;
};

test('the demo plan with its caliper log: the same bytes to a file and to standard output', async () => {
  const shown = await run(['check', '--plan', PLAN, '--caliper', CALIPER]);
  expect([shown.code, shown.err]).toEqual([0, '']);
  const check = checkSchema.parse(JSON.parse(shown.out));
  expect(check.format).toBe('jointwise-check/1');
  expect(check.roadmap).toHaveLength(8);
  expect(check.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
  expect(check.hole?.spaceOut?.curve).toHaveLength(61);
  const out = join(folder, 'check.json');
  const written = await run(['check', '--plan', PLAN, '--caliper', CALIPER, '--out', out]);
  expect(written).toEqual({ code: 0, out: '', err: '' });
  expect(await readFile(out, 'utf8')).toBe(shown.out);
  expect(await readdir(folder)).toEqual(['check.json']);
});

test('without a caliper log, and with a shift of the user', async () => {
  const bare = JSON.parse((await run(['check', '--plan', PLAN])).out);
  expect(bare.hole).toBeNull();
  const { out } = await run(['check', '--plan', PLAN, '--caliper', CALIPER, '--space-out', '0.5']);
  const { hole, defaults } = checkSchema.parse(JSON.parse(out));
  expect(hole?.spaceOut).toMatchObject({ reach: 0.5, shift: -0.5 });
  expect(hole?.spaceOut?.curve).toHaveLength(11);
  expect(defaults.map(({ place }) => place)).not.toContain('check.spaceOut.reach');
});

test('a plan without an engineering part is checked as far as it goes', async () => {
  const { code, out } = await run(['check', '--plan', await file('plan.json', JSON.stringify(SMALL_PLAN))]);
  expect(code).toBe(0);
  const check = checkSchema.parse(JSON.parse(out));
  expect(check.roadmap.map(({ joint, flow }) => [joint, flow])).toEqual([
    ['Z1', null],
    ['S1', null],
  ]);
  expect(check.findings.map(({ text }) => text)).toContainEqual(expect.stringMatching(/^not given: string: /));
});

test('rows that cannot be read are told one by one, and the rest is used', async () => {
  const log = await file('log.csv', 'DEPTH (m),CAL (mm)\n2400,216\n2450,216\n2500,wide\n2550,216\n2600,216\n');
  const { code, out, err } = await run(['check', '--plan', PLAN, '--caliper', log]);
  expect(code).toBe(0);
  expect(err).toBe(`${log} line 4: found "wide" in CAL, expected a number\n`);
  expect(checkSchema.parse(JSON.parse(out)).hole?.log).toEqual({ from: 2400, to: 2600, rows: 4 });
});

test.each([
  ['an empty log', 'log.csv', '', /^.*log\.csv: found an empty file, expected a log in LAS 2\.0 or CSV\n$/],
  [
    'a log without units',
    'log.csv',
    'DEPTH,CAL\n1,216\n2,216\n',
    /log\.csv line 1: found unit "" of DEPTH, expected m or ft\n$/,
  ],
  [
    'a log in another version',
    'log.las',
    '~V\n VERS. 3.0:\n~C\n DEPT.M:\n CAL.MM:\n~A\n1 216\n2 216\n',
    /log\.las: found LAS version "3\.0", expected LAS 2\.0\n$/,
  ],
])('%s is one line and exit 2, nothing written', async (_, name, text, line) => {
  const out = join(folder, 'check.json');
  const ended = await run(['check', '--plan', PLAN, '--caliper', await file(name, text), '--out', out]);
  expect([ended.code, ended.out]).toEqual([2, '']);
  expect(ended.err).toMatch(line);
  expect(ended.err.split('\n')).toHaveLength(2);
  expect(await readdir(folder)).toEqual([name]);
});

test.each([
  [['check'], /^--plan: found nothing, expected the file of the plan\n$/],
  [['check', '--plan', 'nowhere.json'], /^nowhere\.json: found no such file, expected a plan\n$/],
  [
    ['check', '--plan', PLAN, '--caliper', 'nowhere.las'],
    /^nowhere\.las: found no such file, expected a caliper log\n$/,
  ],
  [['check', '--plan', PLAN, '--space-out', 'far'], /^--space-out: found "far", expected a number from 0 to 250\n$/],
  [['check', '--plan', PLAN, '--fluid', 'x'], /^--fluid: found an unknown option, expected one of --plan/],
])('%j is refused in one line', async (args, line) => {
  const ended = await run(args);
  expect([ended.code, ended.out]).toEqual([2, '']);
  expect(ended.err).toMatch(line);
});

test('serve answers with the check of its plan and log; a bad log ends it', async () => {
  const options = ['--plan', PLAN, '--listen', '0', '--port', '0'];
  const program = start(['serve', ...options, '--caliper', CALIPER]);
  try {
    const url = /(http:\/\/\S+\/)/.exec(await program.firstLine)![1];
    const answer = await (await fetch(`${url}api/check`)).json();
    const { out } = await run(['check', '--plan', PLAN, '--caliper', CALIPER]);
    expect(answer).toEqual(JSON.parse(out));
  } finally {
    program.child.kill('SIGTERM');
    await program.ended;
  }
  const bad = await run(['serve', ...options, '--caliper', await file('log.csv', 'DEPTH (m),CAL (mm)\n')]);
  expect([bad.code, bad.out, bad.err]).toEqual([
    2,
    '',
    expect.stringMatching(/log\.csv: found 0 usable rows, expected /),
  ]);
});
