import { expect, test } from 'vitest';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { DiskWatch, type RoomLevel, roomLevel } from '../../server/keep/diskWatch.ts';
import { openRawLog } from '../../server/keep/openRawLog.ts';
import type { RawLog } from '../../server/keep/rawLog.ts';
import { readLog } from '../../server/keep/readLog.ts';
import { ManualClock } from '../support/manualClock.ts';
import { SimDisk } from './simDisk.ts';

const MB = 1e6;
const FRAME = Buffer.alloc(1000, 'x');

async function recording(disk: SimDisk, clock: ManualClock, reports: string[]): Promise<RawLog> {
  return openRawLog({
    disk,
    folder: 'run',
    nowMs: () => clock.nowMs(),
    report: (line) => void reports.push(line),
    newKey: () => new Uint8Array(16).fill(3),
  });
}

test('a disk that fills up stops the recording, and room brings it back with the hole marked', async () => {
  const clock = new ManualClock();
  const disk = new SimDisk(seededRandom(1));
  disk.faults.capacityBytes = 20_000;
  const reports: string[] = [];
  const log = await recording(disk, clock, reports);
  const levels: RoomLevel[] = [];
  const watch = new DiskWatch({
    disk,
    folder: 'run',
    clock,
    recordings: () => [log],
    onRoom: ({ level }) => levels.push(level),
  });
  watch.start();
  const outcomes: string[] = [];
  const startMs = clock.nowMs();
  const send = async () => {
    clock.advance(1000);
    const appended = await log.append('bytes', FRAME, clock.nowMs());
    outcomes.push(appended.kind === 'recorded' ? 'recorded' : appended.reason);
  };
  for (let n = 0; n < 30; n++) await send();
  expect(log.state).toMatchObject({ kind: 'stopped', reason: 'disk full' });
  const recorded = outcomes.filter((outcome) => outcome === 'recorded').length;
  expect(outcomes).toEqual([...Array(recorded).fill('recorded'), ...Array(30 - recorded).fill('disk full')]);
  expect(recorded).toBeGreaterThan(15);

  disk.faults.capacityBytes = 100 * MB;
  await watch.look();
  expect(log.state.kind).toBe('writing');
  for (let n = 0; n < 5; n++) await send();
  expect(outcomes.slice(30)).toEqual(Array(5).fill('recorded'));
  await watch.stop();
  await log.close();

  const items = [...readLog(disk, 'run')];
  expect(items.filter(({ kind }) => kind === 'damage')).toEqual([]);
  const records = items.map((item) => (item.kind === 'record' ? item.record : null)!);
  expect(records.map(({ number }) => number)).toEqual(records.map((_, i) => i + 1));
  const marks = records
    .filter(({ kind }) => kind === 'mark')
    .map(({ bytes }) => JSON.parse(Buffer.from(bytes).toString()));
  expect(marks).toEqual([
    {
      mark: 'hole',
      reason: 'disk full',
      fromMs: startMs + (recorded + 1) * 1000,
      toMs: startMs + 30_000,
      records: 30 - recorded,
      bytes: (30 - recorded) * FRAME.length,
    },
  ]);
  expect(levels).toEqual(['full', 'plenty']);
  expect(reports.join('\n')).toMatch(/recording stopped: disk full[\s\S]*recording resumed: \d+ records are missing/);
});

test('the watch looks by itself, and ends when it is stopped', async () => {
  const clock = new ManualClock();
  const disk = new SimDisk(seededRandom(2));
  let tried = 0;
  const stopped = { state: { kind: 'stopped' }, resume: async () => ++tried > 99 } as const;
  const watch = new DiskWatch({ disk, folder: 'run', clock, recordings: () => [stopped], onRoom: () => {} });
  watch.start();
  clock.advance(10_000);
  await watch.stop();
  expect(tried).toBe(6);
  clock.advance(10_000);
  expect(tried).toBe(6);
});

test.each<[number, RoomLevel, RoomLevel]>([
  // free of 1,000 MB   before        after
  [500, 'unknown', 'plenty'],
  [101, 'plenty', 'plenty'],
  [99, 'plenty', 'low'],
  [105, 'low', 'low'],
  [111, 'low', 'plenty'],
  [49, 'low', 'very low'],
  [55, 'very low', 'very low'],
  [61, 'very low', 'low'],
  [2, 'very low', 'full'],
  [55, 'full', 'very low'],
  [500, 'full', 'plenty'],
])('%d MB free of 1,000, after "%s": %s', (free, before, after) => {
  expect(roomLevel({ freeBytes: free * MB, totalBytes: 1000 * MB }, before)).toBe(after);
});

test('a sync that fails is never acknowledged before it has succeeded', async () => {
  for (let failing = 1; failing <= 40; failing++) {
    const disk = new SimDisk(seededRandom(failing));
    const clock = new ManualClock();
    const log = await recording(disk, clock, []);
    for (let n = 1; n <= 10; n++) {
      disk.faults.syncFails = n % 3 === 0 ? 0.7 : 0;
      await log.append('bytes', Buffer.from(`${n}`), n);
      const { number } = log.head;
      // Whatever the log says is on the disk is there after the power goes.
      const after = new SimDisk(seededRandom(1));
      for (const [path, bytes] of disk.onPlatter()) after.put(path, bytes);
      const there = [...readLog(after, 'run')].filter((item) => item.kind === 'record').length;
      expect(there).toBeGreaterThanOrEqual(number);
      disk.faults.syncFails = 0;
      if (log.state.kind === 'stopped') expect(await log.resume()).toBe(true);
    }
    await log.close();
  }
});

test('what waits for a slow disk is bounded, and what is turned away is marked as a hole', async () => {
  const disk = new SimDisk(seededRandom(5));
  const clock = new ManualClock();
  const log = await recording(disk, clock, []);
  const large = Buffer.alloc(6 * 1024 * 1024);
  const outcomes = await Promise.all([1, 2, 3, 4].map((n) => log.append('bytes', large, n)));
  expect(outcomes.map((appended) => (appended.kind === 'recorded' ? appended.number : appended.reason))).toEqual([
    1,
    2,
    'too much waits',
    'too much waits',
  ]);
  await log.close();
  const records = [...readLog(disk, 'run')].map((item) => (item.kind === 'record' ? item.record : null)!);
  expect(records.map(({ kind }) => kind)).toEqual(['bytes', 'bytes', 'mark']);
  const mark = { mark: 'hole', reason: 'too much waits', fromMs: 3, toMs: 4, records: 2, bytes: 2 * large.length };
  expect(JSON.parse(Buffer.from(records[2]!.bytes).toString())).toEqual(mark);
});
