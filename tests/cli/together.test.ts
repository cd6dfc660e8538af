/** Runs together: the built program on a library of runs that were taken in, and the same over HTTP beside a live one. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, onTestFinished, test, vi } from 'vitest';
import { z } from 'zod/mini';
import { systemClock } from '../../ingest/clock.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { startLibrary } from '../../server/service.ts';
import { type Together, togetherSchema } from '../../src/together/togetherSchema.ts';
import { liveDemo } from '../support/liveDemo.ts';
import { run } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';

let folder: string;
let data: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-together-'));
  data = join(folder, 'data');
  const part = join(folder, 'part.wits');
  writeFileSync(part, readFileSync(STREAM).subarray(0, 700_000));
  for (const [name, file] of [
    ['whole', STREAM],
    ['part', part],
  ] as const) {
    const taken = await run(['import', '--data', data, '--plan', PLAN, '--in', file, '--name', name, '--quiet']);
    expect(taken.code).toBe(0);
  }
});
afterAll(() => rmSync(folder, { recursive: true }));

test('the runs of a library side by side, as a table and as JSON', async () => {
  const { code, out, err } = await run(['together', '--data', data]);
  expect([code, err]).toEqual([0, '']);
  expect(out).toMatch(/^run \S+ part: \d of \d joints expanded$/m);
  expect(out).toMatch(/^screen +all +\d+ +\d\.\d\d ± \d\.\d\d/m);
  expect(out).toMatch(/^screen +run whole/m);
  expect(out).toContain('unlike their kind (modified z-score beyond 3.5 (Iglewicz and Hoaglin 1993)');

  const json = await run([
    'together',
    '--data',
    data,
    '--runs',
    'whole',
    '--caliper',
    'whole=replay-data/demo-caliper.csv',
    '--json',
  ]);
  const found = z.parse(togetherSchema, JSON.parse(json.out));
  expect(found.runs.map(({ name, expanded }) => [name, expanded])).toEqual([['whole', 7]]);
  expect(found.groups.filter(({ by }) => by === 'caliper').map(({ name }) => name)).toContain('tight');
  expect(found.joints.find(({ joint }) => joint === 'S3')).toMatchObject({ caliper: 'tight', values: { stalls: 1 } });
});

test.each([
  ['a run that is not there', ['--runs', 'none'], 'run "none": found no run'],
  ['a caliper log of nothing', ['--caliper', 'x.csv'], '--caliper: found "x.csv", expected RUN=FILE'],
])('%s is refused in one line', async (_what, more, line) => {
  const { code, out, err } = await run(['together', '--data', data, ...more]);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(line);
  expect(err.trim().split('\n')).toHaveLength(1);
});

test('over HTTP runs are counted in the background, once, and named until they are', async () => {
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report: () => {} });
  const at = await startLibrary({
    library,
    data,
    report: () => {},
    clock: systemClock,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  onTestFinished(async () => {
    await at.close();
    await library.end();
  });
  const get = (path: string) => fetch(`${at.url}${path.slice(1)}`);
  interface Answer {
    together: Together;
    pending: string[];
    refused: object[];
  }
  const ask = async (query = ''): Promise<Answer> => (await get(`/api/together${query}`)).json() as Promise<Answer>;
  let last: Answer | undefined;
  await vi.waitUntil(
    async () => {
      last = await ask();
      return last.pending.length === 0;
    },
    { timeout: 25_000 },
  );
  expect(last!.refused).toEqual([]);
  expect(z.safeParse(togetherSchema, last!.together).error).toBeUndefined();
  expect(last!.together.runs.map(({ name }) => name).sort()).toEqual(['part', 'whole']);
  const read = vi.spyOn(library, 'read');
  const again = await ask();
  expect(again).toEqual(last);
  expect(read).not.toHaveBeenCalled();
  const one = await ask('?runs=part');
  expect(one.together.runs.map(({ name }) => name)).toEqual(['part']);
  expect((await get('/api/together?runs=none')).status).toBe(400);
  // What is told of the live run is told of those of the library.
  for (const path of ['time', 'signatures', 'signed-text?subject=record', 'handover']) {
    expect([path, (await get(`/api/runs/whole/${path}`)).status]).toEqual([path, 200]);
  }
});

test('without a library there are no runs', async () => {
  const demo = await liveDemo();
  const answer = await demo.get('/api/together');
  expect(answer.status).toBe(404);
});
