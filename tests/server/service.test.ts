import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { z } from 'zod/mini';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import type { Source } from '../../ingest/source.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { tcpListenerSource } from '../../ingest/tcpListenerSource.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { listRoutes } from '../../server/http/app.ts';
import { ROWS_A_DELTA } from '../../server/live/deltaBuilder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, type ServiceOptions, startService } from '../../server/service.ts';
import { Fault } from '../../src/fault.ts';
import {
  type DeltaMessage,
  deltaMessageSchema,
  type ServerMessage,
  snapshotMessageSchema,
} from '../../src/live/messages.ts';
import { recordSchema } from '../../src/record/recordSchema.ts';
import { decodeTraces } from '../../src/traces/traceWire.ts';
import { LivePage } from '../support/livePage.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';

const closers: (() => Promise<unknown> | unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

async function service(source: Source, more: Partial<ServiceOptions> = {}): Promise<Service> {
  const { plan, job } = await readPlan(PLAN);
  const started = await startService({
    name: 'test run',
    plan,
    job,
    rate: 1,
    clock: systemClock,
    source,
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    ...more,
  });
  closers.push(() => started.close());
  return started;
}

/** A rig that sends what it is told to whoever is connected, and counts what is said to it. */
async function rig(): Promise<{
  port: number;
  send: (bytes: Uint8Array) => Promise<void>;
  heard: () => number;
  drop: () => void;
}> {
  const sockets = new Set<Socket>();
  let heard = 0;
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    socket.on('data', (data) => {
      heard += data.length;
    });
    socket.on('error', () => {});
    socket.on('close', () => sockets.delete(socket));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const drop = () => {
    for (const socket of sockets) socket.destroy();
  };
  closers.push(() => {
    drop();
    server.close();
  });
  const send = async (bytes: Uint8Array) => {
    await expect.poll(() => sockets.size).toBeGreaterThan(0);
    for (const socket of sockets) socket.write(bytes);
  };
  return { port: (server.address() as AddressInfo).port, send, heard: () => heard, drop };
}

async function livePage(at: Service): Promise<LivePage> {
  const page = await LivePage.open(`${at.url.replace('http', 'ws')}live`);
  closers.push(() => page.close());
  page.hello();
  await page.until((got) => got.length >= 1);
  return page;
}

/** The stream cut behind the end mark of its n-th packet. */
async function packets(from: number, to: number): Promise<Uint8Array> {
  const text = await readFile(STREAM, 'latin1');
  return Buffer.from(
    text
      .split(/(?<=!!\r?\n)/)
      .slice(from, to)
      .join(''),
    'latin1',
  );
}

const linkOf = (got: readonly ServerMessage[]) => got.flatMap(({ ingest }) => (ingest ? [ingest.link] : []));
const nowOf = (deltas: readonly DeltaMessage[]) => deltas.flatMap(({ now }) => (now ? [now] : [])).at(-1);
const rowsOf = (deltas: readonly DeltaMessage[]) => deltas.flatMap((delta) => delta.rows ?? []);

test('bytes on a TCP socket become deltas of the promised form; nothing is ever sent to the rig', async () => {
  const { port, send, heard, drop } = await rig();
  const at = await service(tcpClientSource({ host: '127.0.0.1', port, firstWaitMs: 10 }, systemClock));
  await at.live.start();
  const page = await livePage(at);
  await page.until((got) => linkOf(got).includes('connected'));
  await send(await packets(0, 60));
  await page.until(() => rowsOf(page.deltas()).length >= 55);
  expect(snapshotMessageSchema.safeParse(page.got[0]).success).toBe(true);
  for (const delta of page.deltas()) deltaMessageSchema.parse(delta);
  page.deltas().forEach((delta, i, all) => {
    if (i > 0) expect(delta.seq).toBe(all[i - 1]!.seq + 1);
  });
  const times = rowsOf(page.deltas()).map((row) => row[0]!);
  expect(times).toEqual([...times].sort((a, b) => a - b));
  expect(nowOf(page.deltas())?.sourceMs).toBe(times.at(-1));
  const links: string[] = [];
  at.live.links.subscribe(({ link }) => links.push(link));
  drop();
  await expect.poll(() => links).toEqual(['lost', 'connecting', 'connected']);
  expect(heard()).toBe(0);
});

test('a run that is served ends in the same record as one that is analysed, to the byte', async () => {
  const at = await service(fileSource({ path: STREAM }, systemClock));
  const ended = new Promise<void>((resolve) => {
    at.live.links.subscribe(({ link }) => link === 'ended' && resolve());
  });
  await at.live.start();
  await ended;
  const frames = (await readFile(STREAM, 'latin1')).split('!!').length - 1;
  await expect.poll(() => at.live.ingest().samples, { timeout: 20_000 }).toBe(frames);
  const served = await (await fetch(`${at.url}api/record`)).json();
  expect(recordSchema.safeParse(served).error).toBeUndefined();
  const { job } = await readPlan(PLAN);
  const bytes = await readFile(STREAM);
  async function* chunks() {
    for (let from = 0; from < bytes.length; from += 50_001) yield bytes.subarray(from, from + 50_001);
  }
  const analysed = await recordOfStream(job, [], { name: STREAM, chunks }, (_head, as, sink) =>
    READERS.wits0(as, sink),
  );
  expect(JSON.stringify(served)).toBe(JSON.stringify(analysed));
  const { status } = (await (await fetch(`${at.url}health`)).json()) as { status: string };
  expect(status).toBe('ok');
});

test('a page that comes late has the same state as one that was there all along', async () => {
  const { port, send } = await rig();
  const at = await service(tcpClientSource({ host: '127.0.0.1', port }, systemClock));
  await at.live.start();
  const early = await livePage(at);
  await early.until((got) => linkOf(got).includes('connected'));
  await send(await packets(0, 3000));
  await early.until(() => rowsOf(early.deltas()).length >= 2990);
  const late = await livePage(at);
  const snapshot = snapshotMessageSchema.parse(late.got[0]);
  await early.until((got) => got.at(-1)!.seq >= snapshot.seq);
  expect(nowOf(early.deltas())).toEqual(snapshot.now);
  const joints = snapshotMessageSchema.parse(early.got[0]).joints;
  for (const joint of early.deltas().flatMap((delta) => delta.joints ?? [])) joints[joint.index] = joint;
  const events = new Map(early.deltas().flatMap((delta) => (delta.events ?? []).map((event) => [event.id, event])));
  expect(joints).toEqual(snapshot.joints);
  expect([...events.values()].sort((a, b) => a.id - b.id)).toEqual(snapshot.events);
  const answer = await fetch(`${at.url}api/traces?buckets=5000`);
  const traces = decodeTraces(new Uint8Array(await answer.arrayBuffer()));
  expect(traces.kind === 'rows' && [traces.exact, traces.count]).toEqual([true, rowsOf(early.deltas()).length]);
});

test('a burst is cut into small deltas that leave no row out', async () => {
  const { port, send } = await rig();
  const at = await service(tcpClientSource({ host: '127.0.0.1', port }, systemClock));
  await at.live.start();
  const page = await livePage(at);
  await send(await packets(0, 2000));
  await page.until(() => rowsOf(page.deltas()).length >= 1990);
  for (const { rows = [] } of page.deltas()) expect(rows.length).toBeLessThanOrEqual(ROWS_A_DELTA);
  const times = rowsOf(page.deltas()).map((row) => row[0]!);
  expect(times.every((ms, i) => i === 0 || ms === times[i - 1]! + 1000)).toBe(true);
});

test('a plan that the journal changes reaches every page as a new snapshot', async () => {
  const { port, send } = await rig();
  const { plan } = await readPlan(PLAN);
  const wider = structuredClone(plan);
  wider.liner.joints.at(-1)!.name = 'renamed';
  const at0 = Date.parse('2031-05-12T04:01:40Z');
  const entry = { at: new Date(at0).toISOString(), by: 'office', action: 'change plan' as const, plan: wider };
  const source = tcpClientSource({ host: '127.0.0.1', port }, systemClock);
  const at = await service(source, { journal: [entry] });
  await at.live.start();
  const page = await livePage(at);
  await send(await packets(0, 200));
  await page.until((got) => (got.at(-1)!.type === 'delta' ? (nowOf(page.deltas())?.sourceMs ?? 0) > at0 : false));
  const snapshots = page.got.flatMap((message) => (message.type === 'snapshot' ? [message] : []));
  expect(snapshots.map((snapshot) => snapshot.plan.liner.joints.at(-1)!.name)).toEqual([
    plan.liner.joints.at(-1)!.name,
    'renamed',
  ]);
  page.got.forEach((message, i, all) => {
    if (i > 0) expect(message.seq).toBe(all[i - 1]!.seq + 1);
  });
  expect(await (await fetch(`${at.url}api/plan`)).json()).toEqual(wider);
});

test('the queue between source and pipeline is bounded, and what it refuses is counted', async () => {
  let bytes: ((chunk: Uint8Array, arrivalMs: number) => unknown) | undefined;
  const flood: Source = {
    name: 'flood',
    open: async (handlers) => {
      bytes = handlers.bytes;
      handlers.link('connected', '');
    },
    close: async () => {},
  };
  const at = await service(flood, { queueLimitBytes: 10_000 });
  await at.live.start();
  const chunk = (await packets(0, 20)).subarray(0, 4000);
  const waits = Array.from({ length: 5 }, () => bytes!(chunk, systemClock.nowMs()));
  expect(waits.map((wait) => wait instanceof Promise)).toEqual([false, true, true, true, true]);
  expect(at.live.ingest().rejected).toMatchObject({ 'queue full, bytes': 12_000 });
  await Promise.all(waits);
  await expect.poll(() => at.live.ingest().bytes).toBe(8000);
});

test('before the first sample: no record, a plan, a health that says so', async () => {
  const at = await service(tcpListenerSource({ port: 0 }, systemClock));
  await at.live.start();
  expect((await fetch(`${at.url}api/record`)).status).toBe(404);
  const { plan } = await readPlan(PLAN);
  expect(await (await fetch(`${at.url}api/plan`)).json()).toEqual(plan);
  expect(await (await fetch(`${at.url}health`)).json()).toMatchObject({
    link: 'listening',
    sampleAgeMs: null,
    pages: 0,
  });
});

test('a query that cannot be meant is refused with a reason', async () => {
  const at = await service(tcpListenerSource({ port: 0 }, systemClock));
  for (const query of ['buckets=0', 'buckets=1e9', 'buckets=x', 'fromMs=noon', 'buckets=1&buckets=2']) {
    const answer = await fetch(`${at.url}api/traces?${query}`);
    expect([query, answer.status]).toEqual([query, 400]);
    expect(await answer.json()).toHaveProperty('error');
  }
});

test('the OpenAPI document describes every route, and every answer is of the form that it says', async () => {
  const at = await service(fileSource({ path: STREAM }, systemClock));
  await at.live.start();
  await expect.poll(() => at.live.ingest().samples).toBeGreaterThan(0);
  const document = (await (await fetch(`${at.url}openapi.json`)).json()) as {
    openapi: string;
    paths: Record<string, Record<string, { responses: Record<string, { content: object }> }>>;
  };
  expect(document.openapi).toMatch(/^3\.1\./);
  const routes = listRoutes('0');
  const written = (url: string) => url.replace(/:(\w+)/g, '{$1}');
  expect(Object.keys(document.paths).sort()).toEqual(routes.map(({ url }) => written(url)).sort());
  for (const route of routes) {
    const method = route.body || route.upload ? 'post' : 'get';
    const type = route.upload ? 'application/octet-stream' : 'application/json';
    const sent = method === 'post' ? { body: '{}', headers: { 'content-type': type } } : {};
    const answer = await fetch(`${at.url.slice(0, -1)}${route.url}`, { method: method.toUpperCase(), ...sent });
    const described = document.paths[written(route.url)]![method]!.responses[answer.status]!;
    expect(Object.keys(described.content)).toEqual([answer.headers.get('content-type')?.split(';')[0]]);
    const schema = route.answers[answer.status]?.schema;
    if (schema) expect(z.safeParse(schema, await answer.json()).error).toBeUndefined();
  }
});

test('a port in use is a fault, or the next one when asked so', async () => {
  const first = await service(tcpListenerSource({ port: 0 }, systemClock));
  const fault = await service(tcpListenerSource({ port: 0 }, systemClock), { port: first.port }).catch(
    (e: unknown) => e,
  );
  expect(fault).toBeInstanceOf(Fault);
  expect(fault).toMatchObject({ code: 'port in use' });
  const next = await service(tcpListenerSource({ port: 0 }, systemClock), { port: first.port, portsBeyond: 50 });
  expect(next.port).toBeGreaterThan(first.port);
});

test('closing ends pages, source and port', async () => {
  const source = tcpListenerSource({ port: 0 }, systemClock);
  const at = await service(source);
  await at.live.start();
  const rigSocket = connect(source.port, '127.0.0.1');
  await once(rigSocket, 'connect');
  const rigClosed = once(rigSocket.resume(), 'close');
  const page = await livePage(at);
  await at.close();
  expect(await page.closed).toBe(1001);
  await rigClosed;
  await expect(fetch(at.url)).rejects.toThrow();
});
