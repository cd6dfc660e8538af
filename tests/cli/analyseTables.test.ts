/** `analyse` on a trip that comes as a table, as the program that users start. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import type { Sample } from '../../src/channels.ts';
import { run } from '../support/program.ts';
import { csvText, INSIDE_COLUMNS, lasText, witsmlText } from '../support/tableWriters.ts';

const PLAN = 'replay-data/demo-plan.json';
let folder: string;
let samples: Sample[];
let joints: unknown;

async function analysed(name: string, text: string, more: readonly string[] = []): Promise<unknown> {
  const file = join(folder, name);
  await writeFile(file, text);
  const { code, out, err } = await run(['analyse', '--plan', PLAN, '--in', file, '--quiet', ...more]);
  expect([code, err]).toEqual([0, '']);
  const record = JSON.parse(out);
  expect(record.source).toMatchObject({ frames: samples.length, rejected: 0 });
  return record.joints;
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-tables-'));
  samples = [];
  const { job } = await readPlan(PLAN);
  const reader = READERS.wits0(job.stream, (sample) => samples.push(sample));
  reader.push(await readFile('replay-data/demo.wits'), Number.NaN);
  reader.end();
  joints = JSON.parse((await run(['analyse', '--plan', PLAN, '--in', 'replay-data/demo.wits'])).out).joints;
});
afterAll(() => rm(folder, { recursive: true }));

test.each([
  ['trip.csv', () => csvText(samples)],
  ['trip.las', () => lasText(samples)],
  ['trip.xml', () => witsmlText(samples)],
])('%s gives the joints of the WITS stream', async (name, text) => {
  expect(await analysed(name, text())).toEqual(joints);
});

test('columns of any name, by a channel map in a file of its own', async () => {
  const columns = INSIDE_COLUMNS.map((column, i) => ({ ...column, name: `Signal ${i}` }));
  const channels = Object.fromEntries(columns.map(({ name, channel }) => [name, { channel }]));
  const map = join(folder, 'map.json');
  await writeFile(map, JSON.stringify({ format: 'jointwise-channels/1', channels }));
  const text = csvText(samples, { columns });
  expect(await analysed('signals.csv', text, ['--channels', map])).toEqual(joints);
});
