/** Downloads of the run that is open: what the command line writes, in pieces, no more than a few at a time. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { readScenario } from '../../server/cli/readScenario.ts';
import { attachment } from '../../server/http/attachment.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import { EXPORT_KINDS, EXPORT_NAMES } from '../../src/export/exportKinds.ts';
import { exportInput, textOf } from '../export/exportedRun.ts';
import { demoCourse } from '../support/demoCourse.ts';

const NAME = '../trip "4"';
let service: Service;

async function serve(path: string): Promise<Service> {
  const { read } = await readScenario();
  return startService({
    ...read,
    name: NAME,
    rate: 1,
    clock: systemClock,
    source: fileSource({ path }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
}

beforeAll(async () => {
  service = await serve('replay-data/demo.wits');
  await service.live.start();
  const { length } = readFileSync('replay-data/demo.wits');
  await vi.waitUntil(() => service.live.ingest().bytes === length && service.live.ingest().link === 'ended', {
    timeout: 60_000,
    interval: 50,
  });
}, 90_000);
afterAll(() => service.close());

const get = (path: string): Promise<Response> => fetch(`${service.url}api/export/${path}`);

describe.each(EXPORT_NAMES)('%s', (as) => {
  test('is what is written of the same course, under a name that is safe', async () => {
    const answer = await get(`${as}?units=field`);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe(`${EXPORT_KINDS[as].type}; charset=utf-8`);
    const named = answer.headers.get('content-disposition')!;
    expect(named).toMatch(/^attachment; filename="[\w.-]+"; filename\*=UTF-8''[\w.%~-]+$/);
    expect(decodeURIComponent(named)).not.toContain('..');
    const { course, source } = await demoCourse();
    const input = exportInput(course, source, 'field', NAME);
    expect(await answer.text()).toBe(textOf(EXPORT_KINDS[as].write(input, {})));
  }, 60_000);
});

test('a pass and a tool by depth; what cannot be meant is refused', async () => {
  expect((await get('las-depth?pass=1&tool=upper')).status).toBe(200);
  expect((await get('las-depth?tool=none')).status).toBe(400);
  for (const query of ['units=ell', 'pass=0', 'pass=x']) expect((await get(`las-depth?${query}`)).status).toBe(400);
  expect((await get('nothing')).status).toBe(404);
  expect((await get('..%2f..%2fetc%2fpasswd')).status).toBe(404);
});

test('no more than two are under way, and one that is broken off makes room', async () => {
  const first = new AbortController();
  const open = [await fetch(`${service.url}api/export/csv`, { signal: first.signal }), await get('csv')];
  const third = await get('csv');
  expect(third.status).toBe(503);
  expect(third.headers.get('retry-after')).toBe('10');
  first.abort();
  await open[1]!.text();
  await expect.poll(async () => (await get('record')).status, { timeout: 30_000 }).toBe(200);
}, 90_000);

test('before the first sample there is nothing to download', async () => {
  const empty = await serve('replay-data/demo.wits');
  try {
    expect((await fetch(`${empty.url}api/export/csv`)).status).toBe(409);
  } finally {
    await empty.close();
  }
});

test.each([
  ['trip 4', 'trip-4-samples.csv', 'trip 4-samples.csv'],
  ['../../etc/passwd', 'etc-passwd-samples.csv', '-..-etc-passwd-samples.csv'],
  ['a"; filename="evil.exe', 'a-filename-evil.exe-samples.csv', 'a-; filename=-evil.exe-samples.csv'],
  ['\r\nSet-Cookie: x', 'Set-Cookie-x-samples.csv', '-Set-Cookie- x-samples.csv'],
  ['', 'run-samples.csv', 'run-samples.csv'],
  ['é', 'e-samples.csv', 'é-samples.csv'],
])('a run called %j', (name, plain, real) => {
  const header = attachment(name, '-samples.csv');
  const [, first, second] = /^attachment; filename="([^"]*)"; filename\*=UTF-8''(.*)$/.exec(header)!;
  expect(first).toBe(plain);
  expect(decodeURIComponent(second!)).toBe(real);
});
