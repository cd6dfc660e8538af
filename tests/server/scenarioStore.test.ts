import { readFileSync } from 'node:fs';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { backupRun } from '../../server/keep/backupRun.ts';
import { DiskError } from '../../server/keep/disk.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { SCENARIOS_BYTES, SCENARIOS_NAME, ScenarioStore } from '../../server/scenarios/scenarioStore.ts';
import { KEPT_LIMITS } from '../../src/replay/keptScenario.ts';
import { emptyScenario, SCENARIO_LIMITS, type Scenario } from '../../src/replay/scenario.ts';
import { KeptService, runFolderOf, STREAM } from '../recording/keptService.ts';

let folder: string;
let reports: string[];
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-scenarios-'));
  reports = [];
});
afterEach(() => rm(folder, { recursive: true }));

const open = (disk = nodeDisk) => new ScenarioStore({ disk, folder, report: (line) => void reports.push(line) });
const called = (name: string, more: Partial<Scenario> = {}): Scenario => ({ ...emptyScenario(name), ...more });
const texts = (store: ScenarioStore) => store.list().scenarios.map(({ id, by, text }) => `${id} ${by} ${text}`);

test('what is kept is there after a restart, under its own id, which is never given again', async () => {
  const store = open();
  await store.keep(null, called('first', { shift: 0.5 }), 'A');
  await store.keep(null, called('second'), 'B');
  await store.keep(1, called('first, renamed', { shift: 0.5 }), 'C');
  await store.remove(2);
  const again = open();
  expect(texts(again)).toEqual(['1 C name=first%2C%20renamed&shift=0.5']);
  expect(again.list().kept).toBe('run');
  expect(await again.keep(null, called('third'), 'A')).toMatchObject({ kind: 'kept', scenario: { id: 3 } });
  expect(reports).toEqual([]);
  // Nothing half written is left beside it.
  expect(await readdir(folder)).toEqual([SCENARIOS_NAME]);
});

test.each([
  ['a name that is kept', ' Higher '],
  ['the name of the run itself', 'As recorded'],
  ['the name of the run itself, otherwise written', 'ORIGINAL'],
])('refused: %s', async (_what, name) => {
  const store = open();
  await store.keep(null, called('higher'), 'A');
  expect(await store.keep(null, called(name), 'A')).toMatchObject({
    kind: 'refused',
    why: expect.stringContaining(name),
  });
  expect(texts(store)).toHaveLength(1);
});

test('one that is not kept can be neither changed nor removed', async () => {
  const store = open();
  expect(await store.keep(7, called('a'), 'A')).toMatchObject({ kind: 'unknown' });
  expect(await store.remove(7)).toMatchObject({ kind: 'unknown' });
});

test('so many that come at once are kept one after another, and no more than may be; they fit into the file', async () => {
  const store = open();
  const long = 'x'.repeat(SCENARIO_LIMITS.nameChars - 3);
  const asked = Array.from({ length: KEPT_LIMITS.scenarios + 3 }, (_, i) =>
    store.keep(null, called(`${long}${i}`), 'A'.repeat(KEPT_LIMITS.byChars)),
  );
  const kinds = (await Promise.all(asked)).map(({ kind }) => kind);
  expect(kinds.filter((kind) => kind === 'kept')).toHaveLength(KEPT_LIMITS.scenarios);
  expect(kinds.slice(-3)).toEqual(['refused', 'refused', 'refused']);
  expect(new Set(store.list().scenarios.map(({ id }) => id)).size).toBe(KEPT_LIMITS.scenarios);
  expect((await readFile(join(folder, SCENARIOS_NAME))).length).toBeLessThan(SCENARIOS_BYTES);
  expect(open().list()).toEqual(store.list());
  expect(await store.remove(1)).toEqual({ kind: 'removed' });
  expect((await store.keep(null, called('room again'), 'A')).kind).toBe('kept');
});

test.each([
  ['no JSON', '{"format"'],
  ['another format', '{"format":"jointwise-plan/1","next":1,"scenarios":[]}'],
  ['a strange id', '{"format":"jointwise-scenarios/1","next":2,"scenarios":[{"id":-1,"by":"A","text":"name=a"}]}'],
])('a file with %s is told of, set aside and not used', async (_what, text) => {
  await writeFile(join(folder, SCENARIOS_NAME), text);
  const store = open();
  expect(store.list().scenarios).toEqual([]);
  expect(reports).toHaveLength(1);
  expect(reports[0]).toMatch(/scenarios\.json: .*expected.*set aside/);
  await store.keep(null, called('new'), 'A');
  expect(await readFile(join(folder, `${SCENARIOS_NAME}.unusable`), 'utf8')).toBe(text);
  expect(open().list()).toEqual(store.list());
});

test('what cannot be written is not kept, and the next one is tried again', async () => {
  let full = true;
  const disk = {
    ...nodeDisk,
    rename: (from: string, to: string) => {
      if (full) throw new DiskError('full', `${to}: no room`);
      nodeDisk.rename(from, to);
    },
  };
  const store = open(disk);
  await expect(store.keep(null, called('a'), 'A')).rejects.toThrow(/no room/);
  expect(texts(store)).toEqual([]);
  full = false;
  expect(await store.keep(null, called('a'), 'A')).toMatchObject({ kind: 'kept', scenario: { id: 1 } });
});

test('without a folder they are kept in memory, and it is said', async () => {
  const store = new ScenarioStore();
  await store.keep(null, called('a'), 'A');
  expect(store.list()).toEqual({ scenarios: [{ id: 1, by: 'A', text: 'name=a' }], kept: 'memory' });
});

test('the scenarios of a run go into its backup', async () => {
  const service = await KeptService.open(folder);
  service.send(readFileSync(STREAM).subarray(0, 20_000));
  await service.settled(20_000);
  const { id } = service.opened;
  await service.close();
  const at = (run: string) =>
    new ScenarioStore({ disk: nodeDisk, folder: run, report: (line) => expect(line).toBe('') });
  await at(runFolderOf(folder)).keep(null, called('half', { shift: 0.5 }), 'A. Person');
  await backupRun(nodeDisk, runFolderOf(folder), join(folder, 'copy'), id);
  expect(texts(at(join(folder, 'copy')))).toEqual(['1 A. Person name=half&shift=0.5']);
});
