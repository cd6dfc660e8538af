/** The page's word on the age of its data, between two looks at the clock: never behind what it has heard. */
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { WebSocket } from 'ws';
import { Connection, LIVE_PATH } from '../../web/live/connection.ts';
import { freshness, ingest, now } from '../../web/state.ts';
import { type FakeLive, startFakeLive } from '../support/fakeLive.ts';
import { nowAt, SCENES, snapshotOf } from '../support/liveScenes.ts';

let live: FakeLive;
let connection: Connection;

beforeAll(() => {
  vi.stubGlobal('WebSocket', WebSocket);
  vi.stubGlobal('requestAnimationFrame', (draw: FrameRequestCallback) => setTimeout(() => draw(0), 5));
});
afterAll(() => {
  vi.unstubAllGlobals();
});
afterEach(async () => {
  connection.stop();
  await live.close();
});

test('the first sample after an empty snapshot ends the waiting at once, not at the next look', async () => {
  live = await startFakeLive('/nowhere', () => ({ ...snapshotOf(SCENES.good!()), now: null }));
  now.value = null;
  ingest.value = null;
  // No look at the clock falls into this test.
  connection = new Connection(live.url.replace('http', 'ws').replace(/\/$/, LIVE_PATH), { ageTickMs: 60_000 });
  connection.start();
  await vi.waitUntil(() => ingest.value !== null);
  expect(freshness.value.kind).toBe('nothing yet');
  live.play({ now: nowAt(2466) });
  await vi.waitUntil(() => now.value !== null);
  expect(freshness.value.kind).toBe('fresh');
});
