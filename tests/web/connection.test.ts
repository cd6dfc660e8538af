import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { WebSocket } from 'ws';
import { TRACE_COLUMNS, type TraceRow } from '../../src/live/messages.ts';
import { Connection, LIVE_PATH } from '../../web/live/connection.ts';
import { freshness, joints, now, onRows, pageLink, refusedMessages } from '../../web/state.ts';
import { type FakeLive, startFakeLive } from '../support/fakeLive.ts';
import { nowAt, SCENES, snapshotOf, swept } from '../support/liveScenes.ts';

/** A browser draws a frame when it likes: here, soon. */
const frame = (draw: FrameRequestCallback): number => setTimeout(() => draw(performance.now()), 5) as unknown as number;

let live: FakeLive;
let connection: Connection;

beforeAll(() => {
  vi.stubGlobal('WebSocket', WebSocket);
  vi.stubGlobal('requestAnimationFrame', frame);
});
afterAll(() => {
  vi.unstubAllGlobals();
});
afterEach(async () => {
  connection.stop();
  await live.close();
});

async function connected(limits = {}): Promise<void> {
  live = await startFakeLive('/nowhere', () => snapshotOf(SCENES.good!()));
  connection = new Connection(live.url.replace('http', 'ws').replace(/\/$/, LIVE_PATH), limits);
  now.value = null;
  connection.start();
  await vi.waitUntil(() => now.value !== null);
}

test('L1: hello, then the snapshot, then deltas; rows come in order and none is lost', async () => {
  await connected();
  expect(live.hellos).toEqual([{ type: 'hello' }]);
  const rows: TraceRow[] = [];
  const off = onRows((more) => rows.push(...more));
  const row = (ms: number): TraceRow => [ms, ...TRACE_COLUMNS.slice(1).map(() => null)];
  for (let i = 0; i < 200; i++) live.play({ rows: [row(i)], now: nowAt(2460 + i / 100) });
  await vi.waitUntil(() => rows.length === 200);
  off();
  expect(rows.map(([ms]) => ms)).toEqual(Array.from({ length: 200 }, (_, i) => i));
  expect(now.value?.toolDepths[1]).toBeCloseTo(2461.99, 9);
  expect(freshness.value.kind).toBe('fresh');
});

test('L2: a hole in the numbers makes the page say hello again from its last number', async () => {
  await connected({ helloEveryMs: 0 });
  live.play({ joints: [swept(5, 2465)] });
  await vi.waitUntil(() => joints.value[5]?.value?.expandedM === swept(5, 2465).expandedM);
  live.skip();
  live.play({ now: nowAt(2499) });
  await vi.waitUntil(() => live.hellos.length === 2);
  expect(live.hellos[1]).toEqual({ type: 'hello', run: 'scene', lastSeq: 1 });
  live.play({ now: nowAt(2468) });
  await vi.waitUntil(() => now.value?.toolDepths[1] === 2468);
});

test('a link that is cut is said to be lost, and taken up again from the last number', async () => {
  await connected();
  live.play({ now: nowAt(2466) });
  await vi.waitUntil(() => now.value?.toolDepths[1] === 2466);
  live.cut();
  await vi.waitUntil(() => pageLink.value.kind === 'lost');
  expect(freshness.value.kind).toBe('link lost');
  await vi.waitUntil(() => live.hellos.length === 2, { timeout: 3000 });
  expect(live.hellos[1]).toEqual({ type: 'hello', run: 'scene', lastSeq: 1 });
  await vi.waitUntil(() => pageLink.value.kind === 'open');
});

test('silence is answered with a hello for a snapshot, and silence after that with a new link', async () => {
  await connected({ silentMs: 60, givenUpMs: 10_000, ageTickMs: 10 });
  await vi.waitUntil(() => live.hellos.length >= 2);
  expect(live.hellos[1]).toEqual({ type: 'hello' });
  connection.stop();
  await live.close();
  await connected({ silentMs: 5000, givenUpMs: 80, ageTickMs: 10 });
  await vi.waitUntil(() => pageLink.value.kind === 'lost');
  await vi.waitUntil(() => live.hellos.length >= 2, { timeout: 3000 });
});

test('what is no message of the service is counted and not used', async () => {
  await connected();
  const before = refusedMessages.value;
  for (const text of [
    '',
    'null',
    '{"type":"delta","seq":1}',
    '{"type":"other"}',
    '[1',
    '{"type":"delta","seq":1,"serverMs":1,"now":{}}',
  ]) {
    live.sayRaw(text);
  }
  await vi.waitUntil(() => refusedMessages.value === before + 6);
  expect(pageLink.value.kind).toBe('open');
  expect(now.value?.joint).toBe(5);
});
