/** Scenarios kept over a real port: for everyone, bounded, and never part of the record. */
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import { keptScenariosSchema } from '../../src/replay/keptScenario.ts';
import { rowCount } from '../../src/traces/traceStore.ts';

let service: Service;
beforeAll(async () => {
  service = await startService({
    ...(await readPlan('replay-data/demo-plan.json')),
    name: 'test run',
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  await service.live.start();
  await vi.waitUntil(() => rowCount(service.live.traces) > 5000, { timeout: 20_000 });
});
afterAll(() => service.close());

const post = (what: 'keep' | 'remove', body: object, headers: Record<string, string> = {}): Promise<Response> =>
  fetch(`${service.url}api/scenarios/${what}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: JSON.stringify(body),
  });
const list = async () => keptScenariosSchema.parse(await (await fetch(`${service.url}api/scenarios`)).json()).scenarios;
const record = async (): Promise<string> => (await fetch(`${service.url}api/record`)).text();

test('kept, called otherwise, removed; the record stays as it is', async () => {
  const before = await record();
  const answer = await post('keep', { by: ' A. Person ', text: 'name=half%20a%20metre&shift=0.5' });
  expect(answer.status).toBe(201);
  const { id } = (await answer.json()) as { id: number };
  expect(await list()).toEqual([{ id, by: 'A. Person', text: 'name=half%20a%20metre&shift=0.5' }]);
  expect((await post('keep', { id, by: 'B. Person', text: 'name=%20renamed%20&shift=0.5' })).status).toBe(201);
  expect(await list()).toEqual([{ id, by: 'B. Person', text: 'name=renamed&shift=0.5' }]);
  expect((await post('remove', { id })).status).toBe(200);
  expect(await list()).toEqual([]);
  expect(await record()).toBe(before);
  expect((await (await fetch(`${service.url}api/course`)).json()).entries).toEqual([]);
});

test.each<[string, 'keep' | 'remove', object, number, RegExp]>([
  ['no scenario', 'keep', { by: 'A', text: 'shift=0.5' }, 400, /no scenario with a name/],
  ['no name but blanks', 'keep', { by: 'A', text: 'name=%20&shift=0.5' }, 400, /no scenario with a name/],
  ['a change that is not known', 'keep', { by: 'A', text: 'name=a&b.moon=1' }, 400, /not known/],
  ['a joint that is not there', 'keep', { by: 'A', text: 'name=a&l.S99=10' }, 400, /no such joint/],
  ['too far', 'keep', { by: 'A', text: 'name=a&shift=1e6' }, 400, /at most 1000/],
  ['nobody', 'keep', { by: '  ', text: 'name=a' }, 400, /by/],
  ['too long', 'keep', { by: 'A', text: `name=a&${'x'.repeat(9000)}` }, 400, /at most 8000/],
  ['far too long', 'keep', { by: 'A', text: 'x'.repeat(40_000) }, 413, /longer/],
  ['the name of the run', 'keep', { by: 'A', text: 'name=original' }, 409, /the run itself/],
  ['one that is not there', 'keep', { id: 99, by: 'A', text: 'name=a' }, 404, /99/],
  ['one that is not there', 'remove', { id: 99 }, 404, /99/],
  ['no id', 'remove', {}, 400, /id/],
])('refused in one line: %s, %s', async (_what, what, body, code, line) => {
  const answer = await post(what, body);
  expect(answer.status).toBe(code);
  expect(((await answer.json()) as { error: string }).error).toMatch(line);
  expect(await list()).toEqual([]);
});

test('not from a page that is not ours', async () => {
  const answer = await post('keep', { by: 'A', text: 'name=a' }, { origin: 'https://elsewhere.example' });
  expect(answer.status).toBe(403);
  expect(await list()).toEqual([]);
});
