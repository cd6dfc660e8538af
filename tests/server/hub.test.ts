import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Subject } from 'rxjs';
import { afterEach, expect, test } from 'vitest';
import { Hub } from '../../server/live/hub.ts';
import type { HubLimits } from '../../server/live/hubLimits.ts';
import type { Change, DeltaParts, LiveFeed } from '../../server/live/liveFeed.ts';
import { LEAD_BUDGET, MESSAGE_BUDGET } from '../../server/live/messageBudget.ts';
import {
  deltaMessageSchema,
  type SharedMessage,
  type SnapshotMessage,
  sharedMessageSchema,
  snapshotMessageSchema,
} from '../../src/live/messages.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { LivePage } from '../support/livePage.ts';
import { ManualClock } from '../support/manualClock.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

/** A feed whose state is one number, carried in the first row of its deltas and the source name of its snapshots. */
class NumberFeed implements LiveFeed {
  readonly run = 'run 1';
  readonly changes = new Subject<Change>();
  #value = 0;
  #pad = '';
  #changed = false;

  set(value: number, padBytes = 0): void {
    this.#value = value;
    this.#pad = 'x'.repeat(padBytes);
    this.#changed = true;
    this.changes.next('soon');
  }

  takeDelta(): DeltaParts | null {
    if (!this.#changed) return null;
    this.#changed = false;
    return { ingest: this.#ingest() };
  }

  snapshot(seq: number): SnapshotMessage {
    const plan = planSchema.parse(SMALL_PLAN);
    const clock = { rate: 1, serverMs: 0 };
    return {
      type: 'snapshot',
      seq,
      run: this.run,
      clock,
      plan,
      now: null,
      joints: [],
      events: [],
      steps: [],
      turnedOff: [],
      ingest: this.#ingest(),
    };
  }

  #ingest() {
    const none = { bytes: 0, samples: 0, rejected: {}, unknownCodes: [] };
    return {
      source: 'feed',
      link: 'connected' as const,
      linkDetail: this.#pad,
      frames: this.#value,
      ...none,
      recording: { state: 'not kept' as const },
    };
  }
}

interface Stand {
  readonly feed: NumberFeed;
  readonly clock: ManualClock;
  readonly hub: Hub;
  readonly url: string;
  readonly server: Server;
  page(options?: ConstructorParameters<typeof LivePage>[1]): Promise<LivePage>;
}

let stand: Stand | undefined;
let pages: LivePage[] = [];

async function setUp(limits: Partial<HubLimits> = {}): Promise<Stand> {
  const feed = new NumberFeed();
  const clock = new ManualClock();
  const hub = new Hub(feed, clock, limits);
  const server = createServer();
  server.on('upgrade', (request, socket, head) => hub.upgrade(request, socket, head));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const url = `ws://127.0.0.1:${(server.address() as AddressInfo).port}/live`;
  const page = async (options = {}) => {
    const opened = await LivePage.open(url, options);
    pages.push(opened);
    return opened;
  };
  stand = { feed, clock, hub, url, server, page };
  return stand;
}

afterEach(async () => {
  for (const page of pages) page.close();
  pages = [];
  await stand?.hub.close();
  await new Promise((resolve) => stand?.server.close(resolve) ?? resolve(undefined));
  stand = undefined;
});

/** Changes the feed `count` times, each with a delta of its own. */
function change({ feed, clock }: Stand, from: number, to: number, padBytes = 0): void {
  for (let value = from; value <= to; value++) {
    feed.set(value, padBytes);
    clock.advance(40);
  }
}

const values = (page: LivePage) => page.deltas().map((delta) => delta.ingest?.frames);
const seqs = (page: LivePage) => page.deltas().map((delta) => delta.seq);

test('L1 a snapshot on hello, then deltas with consecutive numbers, all of the promised form', async () => {
  const s = await setUp();
  change(s, 1, 3);
  const page = await s.page();
  page.hello();
  await page.until((got) => got.length === 1);
  change(s, 4, 9);
  const got = await page.until((messages) => messages.length === 7);
  const snapshot = snapshotMessageSchema.parse(got[0]);
  expect([snapshot.seq, snapshot.ingest.frames]).toEqual([3, 3]);
  for (const delta of page.deltas()) deltaMessageSchema.parse(delta);
  expect(seqs(page)).toEqual([4, 5, 6, 7, 8, 9]);
  expect(values(page)).toEqual([4, 5, 6, 7, 8, 9]);
});

test('a change is sent at once, those that follow within the interval as one, the last is never lost', async () => {
  const s = await setUp();
  const page = await s.page();
  page.hello();
  await page.until((got) => got.length === 1);
  s.feed.set(1);
  s.feed.set(2);
  s.feed.set(3);
  await page.until((got) => got.length === 2);
  s.clock.advance(39);
  expect(s.hub.counts().seq).toBe(1);
  s.clock.advance(1);
  await page.until((got) => got.length === 3);
  expect(values(page)).toEqual([1, 3]);
});

test('L1 a page that lost the link gets exactly what it missed, one that missed too much a snapshot', async () => {
  const s = await setUp({ deltasKept: 5 });
  const first = await s.page();
  first.hello();
  await first.until((got) => got.length === 1);
  change(s, 1, 2);
  await first.until((got) => got.length === 3);
  first.close();
  await first.closed;
  change(s, 3, 7);
  const table = [
    // run, last number | numbers of the deltas that come, or the number of a snapshot
    { run: 'run 1', lastSeq: 2, deltas: [3, 4, 5, 6, 7], snapshot: null },
    { run: 'run 1', lastSeq: 6, deltas: [7], snapshot: null },
    { run: 'run 1', lastSeq: 1, deltas: [], snapshot: 7 },
    { run: 'run 1', lastSeq: 8, deltas: [], snapshot: 7 },
    { run: 'run 0', lastSeq: 6, deltas: [], snapshot: 7 },
    { run: undefined, lastSeq: 6, deltas: [], snapshot: 7 },
  ];
  for (const { run, lastSeq, deltas, snapshot } of table) {
    const page = await s.page();
    page.hello({ lastSeq, ...(run === undefined ? {} : { run }) });
    await page.until((got) => got.length === (snapshot === null ? deltas.length : 1));
    expect(seqs(page)).toEqual(deltas);
    if (snapshot !== null) expect(page.got).toMatchObject([{ type: 'snapshot', seq: snapshot }]);
  }
  const upToDate = await s.page();
  upToDate.hello({ run: 'run 1', lastSeq: 7 });
  await expect.poll(() => s.hub.counts().resumed).toBe(3);
  change(s, 8, 8);
  await upToDate.until((got) => got.length === 1);
  expect(seqs(upToDate)).toEqual([8]);
});

test('L3 a page that does not read is bounded and later gets the latest state; another gets every delta', async () => {
  const s = await setUp({ slowAboveBytes: 256 * 1024 });
  const slow = await s.page();
  const quick = await s.page();
  for (const page of [slow, quick]) {
    page.hello();
    await page.until((got) => got.length === 1);
  }
  slow.socket.pause();
  const padBytes = 64 * 1024;
  const COUNT = 400;
  let mostWaiting = 0;
  for (let value = 1; value <= COUNT; value++) {
    change(s, value, value, padBytes);
    await quick.until((got) => got.length === value + 1);
    mostWaiting = Math.max(mostWaiting, s.hub.longestBacklog());
  }
  expect(seqs(quick)).toEqual(Array.from({ length: COUNT }, (_, i) => i + 1));
  expect(s.hub.counts().slow).toBe(1);
  expect(mostWaiting).toBeGreaterThan(256 * 1024);
  expect(mostWaiting).toBeLessThan(256 * 1024 + 2 * padBytes);
  slow.socket.resume();
  await expect
    .poll(() => {
      s.clock.advance(100);
      return slow.got.at(-1);
    })
    .toMatchObject({ type: 'snapshot', seq: COUNT, ingest: { frames: COUNT } });
  change(s, COUNT + 1, COUNT + 1);
  await slow.until((got) => got.at(-1)?.type === 'delta');
  expect(slow.got.at(-1)).toMatchObject({ seq: COUNT + 1 });
  expect(s.hub.counts().slow).toBe(0);
  expect(slow.got.length).toBeLessThan(COUNT);
});

test('a peer that shows no sign of life is dropped within 30 s, one that answers pings stays', async () => {
  const s = await setUp();
  const dead = await s.page({ autoPong: false });
  const alive = await s.page();
  for (const page of [dead, alive]) {
    page.hello();
    await page.until((got) => got.length === 1);
  }
  let dropped = false;
  void dead.closed.then(() => {
    dropped = true;
  });
  for (let seconds = 5; seconds <= 30; seconds += 5) {
    const pinged = new Promise((resolve) => alive.socket.once('ping', resolve));
    s.clock.advance(5000);
    await pinged;
    // The answer to a hello comes after the pong before it has been heard.
    alive.hello();
    await alive.until((got) => got.length === 1 + seconds / 5);
  }
  expect(await dead.closed).toBe(1006);
  expect(dropped).toBe(true);
  expect(s.hub.counts()).toMatchObject({ pages: 1, refused: { 'no sign of life': 1 } });
});

test('a peer that does not say hello is closed', async () => {
  const s = await setUp();
  const page = await s.page();
  s.clock.advance(15_000);
  expect(await page.closed).toBe(1008);
  expect(s.hub.counts().refused['no hello']).toBe(1);
});

test.each([
  // what the page sends | close code | counted as
  ['not JSON', 'hello', 1008, 'bad message'],
  ['another type', '{"type":"please"}', 1008, 'bad message'],
  ['a number that is none', '{"type":"hello","lastSeq":-1}', 1008, 'bad message'],
  ['bytes', Buffer.from('{"type":"hello"}'), 1008, 'bad message'],
  ['a message one byte too long', `"${'x'.repeat(4095)}"`, 1009, 'oversize message'],
  ['a huge message', 'x'.repeat(1_000_000), 1009, 'oversize message'],
] as const)('%s: counted and closed', async (_name, data, code, reason) => {
  const s = await setUp();
  const page = await s.page();
  page.socket.send(data);
  expect(await page.closed).toBe(code);
  await expect.poll(() => s.hub.counts().refused[reason]).toBe(1);
});

test('a message in too many pieces is closed', async () => {
  const s = await setUp();
  const page = await s.page();
  for (let i = 0; i < 40; i++) page.socket.send(' ', { fin: false });
  expect(await page.closed).toBe(1008);
  expect(s.hub.counts().refused['oversize message']).toBe(1);
});

test('a flood of messages is closed after as many as are allowed at once', async () => {
  const s = await setUp();
  const page = await s.page();
  for (let i = 0; i < 1000; i++) page.hello();
  expect(await page.closed).toBe(1008);
  expect(s.hub.counts().refused['too many messages']).toBe(1);
  expect(s.hub.counts().snapshots).toBe(MESSAGE_BUDGET.atOnce);
});

test('no more pages than allowed; a place that is given up is free again', async () => {
  const s = await setUp({ pages: 2 });
  const first = await s.page();
  await s.page();
  const third = new LivePage(s.url);
  expect(await third.closed).toBe(1006);
  expect(s.hub.counts().refused['too many pages']).toBe(1);
  first.close();
  await expect.poll(() => s.hub.counts().pages).toBe(1);
  await s.page();
});

test('noise after the handshake closes that socket only', async () => {
  const s = await setUp();
  const good = await s.page();
  good.hello();
  const bad = await s.page();
  (bad.socket as unknown as { _socket: import('node:net').Socket })._socket.write(Buffer.alloc(64, 0xff));
  await bad.closed;
  await expect.poll(() => s.hub.counts().refused['protocol error']).toBe(1);
  change(s, 1, 1);
  await good.until((got) => got.at(-1)?.type === 'delta');
});

const WATCH = { type: 'watch', page: '0123456789abcdef', name: 'Day shift', as: 'alone' } as const;
const PLACE = { kind: 'at', atMs: 5, playing: true, speed: 60 } as const;

/** The clock goes on until the page is told so: nobody knows when a message is heard. */
async function toldShared(s: Stand, page: LivePage, is: (latest: SharedMessage) => boolean): Promise<SharedMessage> {
  await expect
    .poll(
      () => {
        s.clock.advance(1);
        const latest = page.shared.at(-1);
        return latest !== undefined && is(latest);
      },
      { timeout: 20_000 },
    )
    .toBe(true);
  return page.shared.at(-1)!;
}

async function watching(s: Stand, page: string, name: string): Promise<LivePage> {
  const opened = await s.page();
  opened.hello();
  opened.say({ ...WATCH, page, name });
  await toldShared(s, opened, ({ you }) => you.heard === 1);
  return opened;
}

test('L4 what one page takes and leads, every page that watches is told; a newcomer and one that comes back as well', async () => {
  const s = await setUp({ sharedEveryMs: 0 });
  const a = await watching(s, 'a'.repeat(16), 'Day shift');
  const b = await watching(s, 'b'.repeat(16), 'Night shift');
  const plain = await s.page();
  plain.hello();
  await plain.until((got) => got.length === 1);
  a.say({ type: 'take', place: PLACE });
  s.clock.advance(1);
  const told = await toldShared(s, b, ({ place }) => place !== null);
  expect(sharedMessageSchema.parse(told)).toMatchObject({
    leader: { name: 'Day shift' },
    place: { at: PLACE },
    watching: 2,
  });
  await toldShared(s, a, ({ you }) => you.as === 'leads');
  // From who does not lead it does not count.
  b.say({ type: 'lead', place: { kind: 'live' } });
  b.say({ ...WATCH, page: 'b'.repeat(16), as: 'follows' });
  s.clock.advance(1);
  expect((await toldShared(s, b, ({ you }) => you.as === 'follows')).place!.at).toEqual(PLACE);
  const late = await watching(s, 'c'.repeat(16), 'Onshore');
  expect(late.shared.at(-1)).toMatchObject({ place: { at: PLACE }, watching: 3, following: 1 });
  a.close();
  await expect.poll(() => s.hub.counts().watching).toBe(2);
  s.clock.advance(1);
  expect((await toldShared(s, b, ({ leader }) => leader === null)).place!.at).toEqual(PLACE);
  expect(plain.shared).toEqual([]);
});

test('what is no message of the shared position closes its page, and is counted', async () => {
  const s = await setUp({ sharedEveryMs: 0 });
  const bad: unknown[] = [
    { ...WATCH, page: 'short' },
    { ...WATCH, name: 'x'.repeat(101) },
    { ...WATCH, as: 'other' },
    { type: 'take', place: { ...PLACE, speed: 1e9 } },
    { type: 'lead', place: { ...PLACE, atMs: '5' } },
    // Before it said how it stands.
    { type: 'take', place: PLACE },
  ];
  for (const [i, message] of bad.entries()) {
    const page = await s.page();
    page.hello();
    page.socket.send(JSON.stringify(message));
    expect(await page.closed).toBe(1008);
    expect(s.hub.counts().refused['bad message']).toBe(i + 1);
  }
  const early = await s.page();
  early.say(WATCH);
  expect(await early.closed).toBe(1008);
});

test('who leads may say so many moves at once, and no more', async () => {
  const s = await setUp({ sharedEveryMs: 0 });
  const page = await watching(s, 'a'.repeat(16), 'Day shift');
  for (let i = 0; i < LEAD_BUDGET.atOnce; i++) page.say({ type: 'lead', place: PLACE });
  expect(await page.closed).toBe(1008);
  expect(s.hub.counts().refused['too many messages']).toBe(1);
});

test('a page that reads too slowly is told the latest place once it has caught up', async () => {
  const s = await setUp({ sharedEveryMs: 0, slowAboveBytes: 200_000, caughtUpBelowBytes: 10_000 });
  const slow = await watching(s, 'a'.repeat(16), 'Onshore');
  const lead = await watching(s, 'b'.repeat(16), 'Day shift');
  slow.socket.pause();
  for (let i = 1; i < 400 && s.hub.counts().slow === 0; i++) {
    change(s, i, i, 100_000);
    await lead.until(() => lead.deltas().length === i);
  }
  expect(s.hub.counts().slow).toBe(1);
  const before = slow.shared.length;
  for (let atMs = 1; atMs <= 9; atMs++) lead.say({ type: 'take', place: { ...PLACE, atMs } });
  s.clock.advance(1);
  await toldShared(s, lead, ({ place }) => place?.at.kind === 'at' && place.at.atMs === 9);
  slow.socket.resume();
  await expect
    .poll(() => {
      s.clock.advance(100);
      return s.hub.counts().slow;
    })
    .toBe(0);
  const latest = await toldShared(s, slow, ({ place }) => place?.at.kind === 'at' && place.at.atMs === 9);
  expect(latest.leader).toEqual({ name: 'Day shift' });
  expect(slow.shared.length - before).toBeLessThan(9);
});
