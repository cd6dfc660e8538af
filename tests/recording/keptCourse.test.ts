/** A run of the library, given to a page as the live one is: counted there, it is the same record. */
import { readFileSync } from 'node:fs';
import { afterAll, afterEach, expect, test } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { backupRun } from '../../server/keep/backupRun.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { ScenarioStore } from '../../server/scenarios/scenarioStore.ts';
import { startService } from '../../server/service.ts';
import { createSampleColumns } from '../../src/replay/sampleColumns.ts';
import { decodeSamples } from '../../src/replay/sampleWire.ts';
import { emptyScenario } from '../../src/replay/scenario.ts';
import { countCourse } from '../../src/replay/whatIf.ts';
import type { FetchedCourse } from '../../web/worker/replayProtocol.ts';
import { KeptService, newFolder, PLAN, removeFolders, runFolderOf, STREAM } from './keptService.ts';

const closers: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});
afterAll(removeFolders);

/** A run recorded with a note and a depth put right, and closed; answers its record. */
async function recordedRun(data: string): Promise<{ id: string; record: string }> {
  const whole = readFileSync(STREAM);
  // To the end of a packet: what follows is another.
  const bytes = whole.subarray(0, whole.indexOf('!!', 700_000) + 4);
  const service = await KeptService.open(data);
  service.send(bytes.subarray(0, 250_000));
  await service.settled(250_000);
  const depth = service.live.snapshot(0).now!.toolDepths[0]! + 0.4;
  await service.live.enter({ action: 'set depth', by: 'A. Person', tool: 'upper', depth });
  service.send(bytes.subarray(250_000));
  await service.settled(bytes.length);
  const outcome = { id: service.opened.id, record: service.record() };
  await service.close();
  return outcome;
}

/** A service that watches something else, on a library with that run. */
async function watching(data: string): Promise<string> {
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report: () => {} });
  closers.push(() => library.end());
  const service = await startService({
    ...(await readPlan(PLAN)),
    name: 'another',
    rate: 1,
    clock: systemClock,
    source: { name: 'none', open: async () => {}, close: async () => {} },
    createReader: READERS.wits0,
    library,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  closers.push(() => service.close());
  return service.url;
}

test('counted from what was fetched: the record that the run had', async () => {
  const data = newFolder();
  const { id, record } = await recordedRun(data);
  const url = await watching(data);
  for (const name of [id, 'a run']) {
    const run = `${url}api/runs/${encodeURIComponent(name)}`;
    const { source, run: called, ...course } = (await (await fetch(`${run}/course`)).json()) as FetchedCourse;
    expect(called).toBe(id);
    expect(course.entries.map(({ action }) => action)).toEqual(['set depth']);
    const samples = createSampleColumns();
    const bytes = new Uint8Array(await (await fetch(`${run}/samples`)).arrayBuffer());
    expect(decodeSamples(bytes, samples)).toEqual({ kind: 'samples', firstRow: 0 });
    expect(JSON.stringify(countCourse({ ...course, depthOffsetM: 0, samples }, source).record)).toBe(record);
    const rest = new Uint8Array(await (await fetch(`${run}/samples?fromRow=2100`)).arrayBuffer());
    expect(decodeSamples(rest, samples)).toEqual({ kind: 'samples', firstRow: 2048 });
  }
  expect((await fetch(`${url}api/runs/${id}/samples?fromRow=-1`)).status).toBe(400);
  const { paths } = (await (await fetch(`${url}openapi.json`)).json()) as { paths: Record<string, { get: object }> };
  expect(paths['/api/runs/{name}/samples']!.get).toMatchObject({
    parameters: [
      { name: 'name', in: 'path', required: true },
      { name: 'fromRow', in: 'query' },
    ],
  });
});

test.each(['nothing', '%2e%2e%2f%2e%2e', 'a'.repeat(90)])('a run that is not there: %s', async (name) => {
  const url = await watching(newFolder());
  for (const what of ['course', 'samples']) {
    const answer = await fetch(`${url}api/runs/${name}/${what}`);
    expect(answer.status).toBe(404);
    expect(await answer.json()).toHaveProperty('error');
  }
});

test('the scenarios of a run go into its backup', async () => {
  const data = newFolder();
  const { id } = await recordedRun(data);
  const at = (folder: string) => new ScenarioStore({ disk: nodeDisk, folder, report: (line) => expect(line).toBe('') });
  await at(runFolderOf(data)).keep(null, { ...emptyScenario('half'), shift: 0.5 }, 'A. Person');
  const to = `${newFolder()}/copy`;
  await backupRun(nodeDisk, runFolderOf(data), to, id);
  expect(at(to).list().scenarios).toEqual([{ id: 1, by: 'A. Person', text: 'name=half&shift=0.5' }]);
});
