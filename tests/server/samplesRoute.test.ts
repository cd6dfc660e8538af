/** What a page counts from what the service gives it is the service's own record, to the byte. */
import { once } from 'node:events';
import { get, type IncomingMessage } from 'node:http';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { CourseLog } from '../../server/live/courseLog.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import type { Sample } from '../../src/channels.ts';
import { createSampleColumns } from '../../src/replay/sampleColumns.ts';
import { decodeSamples, encodeSamples } from '../../src/replay/sampleWire.ts';
import { countCourse } from '../../src/replay/whatIf.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { demoCourse } from '../support/demoCourse.ts';

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
    journal: [
      { at: '2031-05-12T04:30:00.000Z', by: 'a', action: 'set depth', tool: 'upper', depth: 2440 },
      { at: '2031-05-12T04:40:00.000Z', by: 'a', action: 'note', text: 'seen' },
    ],
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

async function samples(query: string, accept: string): Promise<{ answer: IncomingMessage; body: Buffer }> {
  const asked = get(`${service.url}api/samples?${query}`, { headers: { 'accept-encoding': accept } });
  const [answer] = (await once(asked, 'response')) as [IncomingMessage];
  const parts: Buffer[] = [];
  for await (const part of answer) parts.push(part as Buffer);
  return { answer, body: Buffer.concat(parts) };
}

test('counted from what was fetched: the record of the service', async () => {
  const { source, ...course } = (await (await fetch(`${service.url}api/course`)).json()) as ReturnType<
    typeof service.live.course
  >;
  const columns = createSampleColumns();
  const { body } = await samples('', 'identity');
  expect(decodeSamples(new Uint8Array(body), columns).kind).toBe('samples');
  expect(course.entries).toHaveLength(2);
  const { record } = countCourse({ ...course, depthOffsetM: 0, samples: columns }, source);
  expect(JSON.stringify(record)).toBe(JSON.stringify(await (await fetch(`${service.url}api/record`)).json()));
});

test('packed for who takes gzip, to a few bytes a sample; the rest alone for who knows the beginning', async () => {
  const plain = await samples('', 'identity');
  const packed = await samples('', 'gzip');
  expect(packed.answer.headers['content-encoding']).toBe('gzip');
  expect(gunzipSync(packed.body).equals(plain.body)).toBe(true);
  expect(packed.body.length / rowCount(service.live.traces)).toBeLessThan(30);
  const rest = await samples('fromRow=4500', 'identity');
  const columns = createSampleColumns();
  decodeSamples(new Uint8Array(plain.body), columns);
  const whole = columns.sourceMs.slice(0, columns.rows);
  columns.rows = 4500;
  expect(decodeSamples(new Uint8Array(rest.body), columns)).toEqual({ kind: 'samples', firstRow: 4096 });
  expect(columns.sourceMs.slice(0, columns.rows)).toEqual(whole);
  expect(rest.body.length).toBeLessThan(plain.body.length);
});

test.each(['fromRow=-1', 'fromRow=1.5', 'fromRow=x', 'fromRow=1e12'])('%s cannot be meant', async (query) => {
  expect((await fetch(`${service.url}api/samples?${query}`)).status).toBe(400);
});

test('a run that came back reads its first samples again from what was recorded', async () => {
  const { samples: all, course } = await demoCourse();
  const { job } = await readPlan('replay-data/demo-plan.json');
  const { readFile } = await import('node:fs/promises');
  const recorded = await readFile('replay-data/demo.wits');
  const createReader = (sink: (sample: Sample) => void) => READERS.wits0(job.stream, sink);
  const half = Math.floor(all.length / 2);
  const resumed = (bytes?: () => Iterable<{ bytes: Uint8Array; arrivalMs: number }>) => {
    const log = new CourseLog(half, [], { bytes, createReader, room: 'growing' });
    for (const sample of all.slice(half)) log.take({ kind: 'sample', sample });
    return log.whole();
  };
  const whole = await resumed(() => [{ bytes: recorded, arrivalMs: Number.NaN }]);
  const columns = createSampleColumns();
  decodeSamples(encodeSamples(whole as Exclude<typeof whole, string>), columns);
  expect(columns.rows).toBe(course.samples.rows);
  expect(await resumed()).toMatch(/found none that were recorded/);
  expect(await resumed(() => [])).toMatch(new RegExp(`found 0 recorded, expected ${all.length}`));
});

test('a run that outgrew its room is read from what was recorded, or says why it cannot be', async () => {
  const { samples: all, course } = await demoCourse();
  const { job } = await readPlan('replay-data/demo-plan.json');
  const { readFile } = await import('node:fs/promises');
  const recorded = await readFile('replay-data/demo.wits');
  const createReader = (sink: (sample: Sample) => void) => READERS.wits0(job.stream, sink);
  const outgrown = (bytes?: () => Iterable<{ bytes: Uint8Array; arrivalMs: number }>) => {
    const log = new CourseLog(0, [], { bytes, createReader, room: 'whole', mostHeld: 3600 });
    const take = (some: readonly Sample[]) => {
      for (const sample of some) log.take({ kind: 'sample', sample });
    };
    return { log, take };
  };
  const kept = outgrown(() => [{ bytes: recorded, arrivalMs: Number.NaN }]);
  kept.take(all.slice(0, 3600));
  expect(await kept.log.whole()).toMatchObject({ rows: 3600, mostRows: 3600 });
  kept.take(all.slice(3600));
  const columns = createSampleColumns();
  const whole = await kept.log.whole();
  decodeSamples(encodeSamples(whole as Exclude<typeof whole, string>), columns);
  expect(columns.sourceMs.slice(0, columns.rows)).toEqual(course.samples.sourceMs.slice(0, course.samples.rows));
  expect(await kept.log.whole()).toBe(whole);
  const lost = outgrown();
  lost.take(all);
  expect(await lost.log.whole()).toMatch(/more than the 3600 samples that are held .* \(1 h at 1 Hz\); with --data/);
});
