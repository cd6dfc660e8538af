import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readChannelMap } from '../../server/plan/readChannelMap.ts';
import { readJournal } from '../../server/plan/readJournal.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { Fault } from '../../src/fault.ts';
import { JOURNAL_LIMITS } from '../../src/journal/journalSchema.ts';
import { PLAN_LIMITS, planSchema } from '../../src/plan/planSchema.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-plan-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function fileOf(text: string | Uint8Array): Promise<string> {
  const file = join(folder, 'f');
  await writeFile(file, text);
  return file;
}

async function faultOf(reading: Promise<unknown>): Promise<Fault> {
  const error = await reading.then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(Fault);
  return error as Fault;
}

/** The plan with one place in it changed; `undefined` takes the key away. */
function planWith(path: readonly (string | number)[], value: unknown): string {
  const plan = structuredClone(SMALL_PLAN);
  let at = plan as unknown as Record<string | number, unknown>;
  for (const part of path.slice(0, -1)) at = at[part] as typeof at;
  at[path.at(-1)!] = value;
  return JSON.stringify(plan);
}

test('a good plan is read without a warning', async () => {
  const { job, plan, warnings } = await readPlan(await fileOf(JSON.stringify(SMALL_PLAN)));
  expect(warnings).toEqual([]);
  expect(plan).toEqual(planSchema.parse(SMALL_PLAN));
  expect(job.joints.map(({ name, top }) => [name, top])).toEqual([
    ['Z1', 1000],
    ['B1', 1007.4],
    ['S1', 1019.3],
  ]);
});

test.each([
  // place | value put there | line after the name of the file
  [['format'], 'jointwise-plan/2', 'format: found "jointwise-plan/2", expected "jointwise-plan/1"'],
  [['units'], 'imperial', 'units: found "imperial", expected one of "metric", "field"'],
  [
    ['liner', 'joints', 2, 'kind'],
    'sieve',
    'liner.joints[2].kind: found "sieve", expected one of "hanger", "isolation", "screen", "blank", "shoe"',
  ],
  [['liner', 'joints', 0, 'length'], 'long', 'liner.joints[0].length: found "long", expected a value of type number'],
  [['liner', 'joints', 0, 'length'], -1, 'liner.joints[0].length: found -1, expected a number more than 0'],
  [
    ['liner', 'joints', 0, 'length'],
    undefined,
    'liner.joints[0].length: found nothing, expected a value of type number',
  ],
  [['liner', 'joints'], [], 'liner.joints: found a list of 0, expected at least 1 entries'],
  [['tools'], { upper: 5 }, 'tools: found an object, expected a value of type array'],
  [['stream', 'utcOffset'], 'CET', 'stream.utcOffset: found "CET", expected'],
  [
    ['stream', 'channels'],
    { 114: {} },
    'stream.channels.114: found the key "114", expected an item code of four digits',
  ],
  [
    ['stream', 'channels'],
    { 'Press\tA': {} },
    'stream.channels.Press\tA: found the key "Press\\tA", expected an item code of four digits',
  ],
  [
    ['stream', 'channels'],
    { ['a'.repeat(65)]: {} },
    `stream.channels.${'a'.repeat(65)}: found the key "${'a'.repeat(59)}…, expected an item code of four digits`,
  ],
  [['recipes', 'screen', 'tools'], ['middle'], 'recipes.screen.tools[0]: found "middle", expected one of upper, lower'],
  [['recipes', 'screen'], undefined, 'recipes.screen: found nothing, expected a recipe for "S1"'],
  [
    ['liner', 'joints', 2, 'expandTo'],
    12,
    'liner.joints[2].expandTo: found 12 in "S1", expected at most its length 11.6',
  ],
] as const)('%j = %j', async (path, value, line) => {
  const file = await fileOf(planWith(path, value));
  const fault = await faultOf(readPlan(file));
  expect(fault.code).toBe('bad plan');
  expect(fault.message.split('\n')[0]).toContain(`${file}: ${line}`);
});

test('a channel map names item codes and columns of tables', async () => {
  const channels = {
    '0114': { channel: 'hookload' },
    'Press A (avg)': { channel: 'standpipePressure' },
    'HKLA:2': { channel: null },
  };
  const { job, warnings } = await readPlan(await fileOf(planWith(['stream', 'channels'], channels)));
  expect([job.stream.channels, warnings]).toEqual([channels, []]);
});

test('several faults are several lines, and never more than fit on a screen', async () => {
  const plan = JSON.parse(planWith(['units'], 'imperial'));
  plan.liner.top = -1;
  expect((await faultOf(readPlan(await fileOf(JSON.stringify(plan))))).message.split('\n')).toHaveLength(2);
  plan.liner.joints = Array.from({ length: 500 }, () => ({}));
  expect((await faultOf(readPlan(await fileOf(JSON.stringify(plan))))).message.split('\n').length).toBeLessThan(25);
});

test('a mistyped bound is said aloud; the engineering parts are known', async () => {
  const plan = structuredClone(SMALL_PLAN) as Record<string, unknown> & typeof SMALL_PLAN;
  Object.assign(plan.recipes.screen, { presure: { min: 1 } });
  Object.assign(plan.recipes.screen.pressure, { minn: 1 });
  Object.assign(plan, {
    limit: {},
    fluid: { density: 1180, colour: 'brown' },
    hole: [{ from: 0, to: 2000, id: 220, friction: 0.3 }],
    survey: [{ md: 0, inclination: 0, azimuth: 0 }],
    surface: { pumps: [] },
    depthTag: { depth: 1000, tool: 'upper', setDown: { min: 40 }, window: 5 },
  });
  const { warnings } = await readPlan(await fileOf(JSON.stringify(plan)));
  expect(warnings.map((line) => /: (.*): found the unknown key ("\w+")/.exec(line)?.slice(1))).toEqual([
    ['recipes.screen.pressure', '"minn"'],
    ['recipes.screen', '"presure"'],
    ['the whole', '"limit"'],
    ['fluid', '"colour"'],
  ]);
});

test.each([
  // bytes | code | the line holds
  ['', 'not json', 'line 1, column 1'],
  ['{"format": 1,\n "units": }', 'not json', 'line 2, column 11'],
  ['[1, 2', 'not json', 'line 1, column 6'],
  ['plan', 'not json', 'line 1, column 1'],
  ['null', 'bad plan', 'the whole: found null'],
  ['[]', 'bad plan', 'the whole: found a list of 0'],
  [Uint8Array.of(0xff, 0xfe), 'not json', 'UTF-8'],
  ['['.repeat(200_000), 'not json', 'line 1'],
  ['{"__proto__": {"format": "jointwise-plan/1"}}', 'bad plan', 'format: found nothing'],
])('bytes %#', async (bytes, code, words) => {
  const fault = await faultOf(readPlan(await fileOf(bytes)));
  expect(fault.code).toBe(code);
  expect(fault.message).toContain(words);
});

test('files that cannot be read', async () => {
  expect(await faultOf(readPlan(join(folder, 'none')))).toMatchObject({ code: 'file unreadable' });
  expect(await faultOf(readPlan(folder))).toMatchObject({
    code: 'file unreadable',
    message: expect.stringContaining('found a folder'),
  });
  expect(await faultOf(readPlan('/dev/zero'))).toMatchObject({ code: 'file too large' });
  expect(await faultOf(readPlan(await fileOf(new Uint8Array(PLAN_LIMITS.bytes + 1))))).toMatchObject({
    code: 'file too large',
  });
});

test('whatever a plan file holds, it is a plan or one fault', async () => {
  const value = fc.oneof(
    fc.json(),
    fc.string(),
    fc.constantFrom(...Object.keys(SMALL_PLAN)).chain((key) => fc.jsonValue().map((v) => planWith([key], v))),
  );
  await fc.assert(
    fc.asyncProperty(value, async (text) => {
      const read = await readPlan(await fileOf(text)).catch((error: unknown) => error);
      if (!(read instanceof Fault)) expect(read).toHaveProperty('job');
      else for (const line of read.message.split('\n')) expect(line).toMatch(/^.+: .+: found .+, expected .+$/);
    }),
    { numRuns: 150 },
  );
});

test('channel map', async () => {
  const good = {
    format: 'jointwise-channels/1',
    channels: { '0121': { channel: 'standpipePressure', unit: 'bar' }, '0199': { channel: null } },
  };
  expect((await readChannelMap(await fileOf(JSON.stringify(good)))).channels).toEqual(good.channels);
  const bad = { format: 'jointwise-channels/1', channels: { '0121': { channel: 'pressure' } } };
  const fault = await faultOf(readChannelMap(await fileOf(JSON.stringify(bad))));
  expect([fault.code, fault.message]).toEqual([
    'bad channel map',
    expect.stringMatching(/channels\.0121\.channel: found "pressure", expected one of/),
  ]);
  const odd = { ...good, channels: { '0121': { channel: 'torque', units: 'kN·m' } } };
  expect((await readChannelMap(await fileOf(JSON.stringify(odd)))).warnings).toHaveLength(1);
});

const ENTRY = { at: '2031-03-04T00:10:00Z', by: 'day shift', action: 'note', text: 'tagged' };

test('the journal comes in the order of its instants', async () => {
  const later = { ...ENTRY, at: '2031-03-04T02:00:00+01:00', action: 'set depth', tool: 'upper', depth: 1001 };
  const lines = [JSON.stringify(later), '', JSON.stringify(ENTRY), ''];
  const journal = await readJournal(await fileOf(lines.join('\r\n')), planSchema.parse(SMALL_PLAN));
  expect(journal.map((entry) => entry.action)).toEqual(['note', 'set depth']);
});

test.each([
  // second line of the journal | what the fault says
  ['{"at":', 'line 2, column 7'],
  [JSON.stringify({ ...ENTRY, at: 'noon' }), 'line 2: at: found "noon", expected an instant'],
  [JSON.stringify({ ...ENTRY, action: 'delete' }), 'line 2: action: found "delete", expected'],
  [
    JSON.stringify({ ...ENTRY, action: 'set depth', tool: 'third', depth: 1 }),
    'line 2: tool: found "third", expected one of upper, lower',
  ],
  [
    JSON.stringify({ ...ENTRY, action: 'accept', joint: 'S9' }),
    'line 2: joint: found "S9", expected one of Z1, B1, S1',
  ],
  [
    JSON.stringify({ ...ENTRY, action: 'drop ball', ball: 'red' }),
    'line 2: ball: found "red", expected none: the plan has none',
  ],
  [`"${'x'.repeat(JOURNAL_LIMITS.lineBytes)}"`, 'line 2: found'],
])('a bad line of the journal: %#', async (line, words) => {
  const reading = readJournal(await fileOf(`${JSON.stringify(ENTRY)}\n${line}\n`), planSchema.parse(SMALL_PLAN));
  const fault = await faultOf(reading);
  expect(fault.code).toBe('bad journal');
  expect(fault.message).toContain(words);
});
