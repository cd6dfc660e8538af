import { copyFile, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { recordSchema } from '../../src/record/recordSchema.ts';
import { comparisonSchema } from '../../src/replay/comparisonSchema.ts';
import { run } from '../support/program.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';

let folder: string;
let files: string[];
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-cli-'));
  await copyFile(PLAN, join(folder, 'plan.json'));
  await writeFile(join(folder, 'bad.json'), JSON.stringify({ ...SMALL_PLAN, units: 'imperial' }));
  await writeFile(join(folder, 'two.json'), JSON.stringify({ ...SMALL_PLAN, units: 'imperial', tools: [] }));
  await writeFile(join(folder, 'torn.json'), '{"format": "jointwise-plan/1",');
  await writeFile(join(folder, 'noise.wits'), Buffer.alloc(100_000, 0x5a));
  await writeFile(join(folder, 'empty.wits'), '');
  await writeFile(join(folder, 'nulls.wits'), '&&\r\n0105310304\r\n0106000001\r\n0108-999.25\r\n!!\r\n'.repeat(3));
  const entity = '<!DOCTYPE logs [<!ENTITY a "a"><!ENTITY b "&a;&a;">]>';
  await writeFile(
    join(folder, 'laughs.xml'),
    `${entity}<logs xmlns="http://www.witsml.org/schemas/1series">&b;</logs>`,
  );
  await writeFile(join(folder, 'depth.las'), '~V\nVERS. 2.0 :\n~W\n~C\nDEPT.M :\nSPPA.KPA :\n~A\n1 2\n');
  await writeFile(join(folder, 'bad.jsonl'), '{"at":"2031-05-12T04:30:00Z","by":"a","action":"dance"}\n');
  await writeFile(
    join(folder, 'map.json'),
    '{"format":"jointwise-channels/1","channels":{"0121":{"channel":"steam"}}}',
  );
  files = await readdir(folder);
});
afterEach(() => rm(folder, { recursive: true }));

test('the demo stream gives the record that its story tells, the same bytes each time', async () => {
  const first = await run(['analyse', '--plan', PLAN, '--in', STREAM]);
  expect([first.code, first.err]).toEqual([0, '']);
  const record = recordSchema.parse(JSON.parse(first.out));
  const truth = JSON.parse(await readFile('replay-data/demo-truth.json', 'utf8'));
  expect(record.joints.map(({ name }) => name)).toEqual(truth.joints.map(({ name }: { name: string }) => name));
  for (const [i, { name, expanded, required }] of record.joints.entries()) {
    // Goal of the project: within 0.08 m of the truth on a clean stream at 1 Hz.
    if (required > 0) expect(Math.abs(expanded - truth.joints[i].expandedM), name).toBeLessThanOrEqual(0.08);
  }
  const out = join(folder, 'record.json');
  const piped = await run(['analyse', '--plan', PLAN, '--in', '-', '--out', out, '--quiet'], await readFile(STREAM));
  expect(piped).toEqual({ code: 0, out: '', err: '' });
  expect(await readFile(out, 'utf8')).toBe(first.out);
  expect((await readdir(folder)).sort()).toEqual([...files, 'record.json'].sort());
});

test('a journal is part of the truth', async () => {
  const entry = {
    at: '2031-05-12T06:00:00Z',
    by: 'night shift',
    action: 'accept',
    joint: 'S5',
    reason: 'seen on the gauges',
  };
  const journal = join(folder, 'journal.jsonl');
  await writeFile(journal, `${JSON.stringify(entry)}\n`);
  const { code, out } = await run(['analyse', '--plan', PLAN, '--in', STREAM, '--journal', journal]);
  expect(code).toBe(0);
  const record = recordSchema.parse(JSON.parse(out));
  expect(record.joints.find(({ name }) => name === 'S5')?.decision).toMatchObject({
    action: 'accept',
    by: 'night shift',
  });
});

test.each([
  // options after --out (FOLDER/ stands for the test's folder) | exit code | what each line on standard error matches
  ['--plan FOLDER/none.json --in demo', 2, [/none\.json: found no such file, expected a plan$/]],
  ['--plan FOLDER/bad.json --in demo', 2, [/bad\.json: units: found "imperial", expected one of "metric", "field"$/]],
  ['--plan FOLDER/two.json --in demo', 2, [/two\.json: units: found/, /two\.json: tools: found a list of 0, expected/]],
  [
    '--plan FOLDER/torn.json --in demo',
    2,
    [/torn\.json: line 1, column 31: found the end of the file, expected JSON$/],
  ],
  ['--plan demo --in FOLDER/none.wits', 2, [/none\.wits: found no such file, expected a recorded stream$/]],
  ['--plan demo --in FOLDER', 2, [/found a folder, expected a recorded stream$/]],
  [
    '--plan demo --in FOLDER/noise.wits',
    2,
    [/noise\.wits: found a format that is not known, expected one of wits0, csv, las, witsml$/],
  ],
  [
    '--plan demo --in FOLDER/noise.wits --format wits0',
    2,
    [/noise\.wits: found 100000 bytes with 0 frames and no usable sample/],
  ],
  ['--plan demo --in FOLDER/empty.wits', 2, [/empty\.wits: found 0 bytes with 0 frames and no usable sample/]],
  ['--plan demo --in FOLDER/nulls.wits', 2, [/nulls\.wits: found 1\d\d bytes with 3 frames and no usable sample/]],
  ['--plan demo --in demo --format xml', 2, [/^--format: found "xml", expected one of wits0, csv, las, witsml$/]],
  ['--plan demo --in demo --format csv', 2, [/demo\.wits: line 1: found "&&", expected a header with a time column/]],
  ['--plan demo --in demo --format las', 2, [/demo\.wits: found no section ~V, ~W, ~C, ~A, expected/]],
  ['--plan demo --in demo --format witsml', 2, [/demo\.wits: line 1: found .*, expected well-formed XML$/]],
  ['--plan demo --in FOLDER/laughs.xml', 2, [/laughs\.xml: line 1: found a document type \(DOCTYPE\), expected none$/]],
  [
    '--plan demo --in FOLDER/depth.las',
    2,
    [/depth\.las: line 4: found "DEPT\.M" as the index, expected a log by time$/],
  ],
  ['--plan demo --in demo --journal FOLDER/bad.jsonl', 2, [/bad\.jsonl: line 1: action: found "dance", expected/]],
  [
    '--plan demo --in demo --channels FOLDER/map.json',
    2,
    [/map\.json: channels\.0121\.channel: found "steam", expected one of/],
  ],
  ['--plan demo', 2, [/^--in: found nothing, expected a recorded stream$/]],
  ['--in demo', 2, [/^--plan: found nothing, expected/]],
  [
    '--plan demo --in demo --speed 5',
    2,
    [/^--speed: found an unknown option, expected one of --plan, --data, --run, --in/],
  ],
  ['--plan demo --in demo extra', 2, [/^"extra": found a word that belongs to no option, expected --plan/]],
  ['--plan demo --in', 2, [/^--in: found no value, expected one$/]],
  ['--plan demo --in demo --quiet=yes', 2, [/^--quiet: found a value, expected none$/]],
])('analyse %s', async (options, code, lines) => {
  const args = options.split(' ').map((arg, i, all) => {
    if (arg === 'demo') return all[i - 1] === '--plan' ? PLAN : STREAM;
    return arg.replace('FOLDER', folder);
  });
  const ended = await run(['analyse', '--out', join(folder, 'record.json'), ...args]);
  expect([ended.code, ended.out]).toEqual([code, '']);
  const said = ended.err.split('\n').slice(0, -1);
  expect(said).toHaveLength(lines.length);
  lines.forEach((line, i) => {
    expect(said[i]).toMatch(line);
  });
  expect(await readdir(folder)).toEqual(files);
});

test('a place that cannot be written to is one line, exit code 1', async () => {
  const ended = await run(['analyse', '--plan', PLAN, '--in', STREAM, '--out', join(folder, 'no/record.json')]);
  expect(ended).toMatchObject({ code: 1, out: '' });
  expect(ended.err).toMatch(/^.*no\/record\.json: found no such file, expected a place to write to\n$/);
});

test('several plans: a table of what is different, and all records in a file', async () => {
  const stricter = join(folder, 'stricter.json');
  const plan = JSON.parse(await readFile(PLAN, 'utf8'));
  plan.recipes.screen.rpm.min = 1000;
  await writeFile(stricter, JSON.stringify(plan));
  const out = join(folder, 'comparison.json');
  const same = join(folder, 'plan.json');
  const {
    code,
    out: table,
    err,
  } = await run([...['analyse', '--plan', PLAN, '--plan', stricter, '--plan', same, '--in', STREAM, '--out', out]]);
  expect([code, err]).toEqual([0, '']);
  const file = comparisonSchema.parse(JSON.parse(await readFile(out, 'utf8')));
  expect(file.plans.map((one) => one.plan)).toEqual([PLAN, stricter, same]);
  const single = await run(['analyse', '--plan', stricter, '--in', STREAM]);
  expect(file.plans[1]!.record).toEqual(JSON.parse(single.out));
  const [first, second] = file.differences;
  const screens = file.plans[0]!.record.joints.filter(({ kind, expanded }) => kind === 'screen' && expanded > 0);
  expect(first!.joints.map(({ name }) => name)).toEqual(screens.map(({ name }) => name));
  expect(first!.lost).toBeCloseTo(
    screens.reduce((sum, { expanded }) => sum + expanded, 0),
    1,
  );
  expect(second).toMatchObject({ joints: [], gained: 0, lost: 0, eventsCome: [], eventsGone: [] });
  const lines = table.split('\n');
  expect(lines[0]).toMatch(
    /^stricter\.json beside demo-plan\.json: 0\.00 m gained, \d+\.\d\d m lost, verdicts changed: 6/,
  );
  for (const { name } of screens)
    expect(
      lines.some((line) => line.startsWith(`${name} `)),
      name,
    ).toBe(true);
  expect(table).toContain('plan.json beside demo-plan.json: 0.00 m gained, 0.00 m lost, verdicts changed: 0');
});

test('several plans on standard input are refused: it is read once for each', async () => {
  const ended = await run(['analyse', '--plan', PLAN, '--plan', PLAN, '--in', '-'], Buffer.from(''));
  expect([ended.code, ended.out, ended.err]).toEqual([
    2,
    '',
    '--in: found - with several plans, expected a file: it is read once for each\n',
  ]);
});
