/** /api/traces on the wire, as it is sent: a client that takes gzip gets it, one that does not gets the bytes. */
import { once } from 'node:events';
import { get, type IncomingMessage } from 'node:http';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { decodeTraces } from '../../src/traces/traceWire.ts';

let service: Service;
beforeAll(async () => {
  const { plan, job } = await readPlan('replay-data/demo-plan.json');
  service = await startService({
    name: 'test run',
    plan,
    job,
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  const ended = new Promise<void>((resolve) => {
    service.live.links.subscribe(({ link }) => link === 'ended' && resolve());
  });
  await service.live.start();
  await ended;
  await vi.waitUntil(() => rowCount(service.live.traces) > 5000, { timeout: 20_000 });
});
afterAll(() => service.close());

/** The answer with its body as it came over the wire; `fetch` would unpack it. */
async function traces(query: string, accept?: string): Promise<{ answer: IncomingMessage; body: Buffer }> {
  const headers = accept === undefined ? {} : { 'accept-encoding': accept };
  const [answer] = (await once(get(`${service.url}api/traces?${query}`, { headers }), 'response')) as [IncomingMessage];
  const parts: Buffer[] = [];
  for await (const part of answer) parts.push(part as Buffer);
  return { answer, body: Buffer.concat(parts) };
}

test.each(['buckets=300', 'buckets=10000', 'fromMs=1e15'])(
  '%s: packed for who takes gzip, the same once unpacked',
  async (query) => {
    const plain = await traces(query);
    expect(plain.answer.headers['content-encoding']).toBeUndefined();
    const packed = await traces(query, 'gzip, deflate, br');
    expect(packed.answer.headers['content-encoding']).toBe('gzip');
    expect(gunzipSync(packed.body).equals(plain.body)).toBe(true);
    for (const { answer, body } of [plain, packed]) {
      expect(answer.statusCode).toBe(200);
      expect(answer.headers.vary).toMatch(/accept-encoding/i);
      expect(answer.headers['content-type']).toBe('application/octet-stream');
      expect(answer.headers['content-length']).toBe(String(body.length));
    }
  },
);

test.each(['identity', 'br', 'deflate', 'x-gzipped', 'gzip;q=0', 'br, gzip; q=0.0'])(
  'who takes only %s gets the bytes themselves',
  async (accept) => {
    const { answer, body } = await traces('buckets=300', accept);
    expect(answer.headers['content-encoding']).toBeUndefined();
    expect(decodeTraces(new Uint8Array(body)).kind).toBe('rows');
  },
);

test('the history of a whole job is less than half as long when packed', async () => {
  const [plain, packed] = [await traces('buckets=10000'), await traces('buckets=10000', 'gzip')];
  expect(packed.body.length).toBeLessThan(plain.body.length / 2);
});
