/** What is recorded, and what is said of it, while the disk is well and while it is not. */
import { readdirSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { afterAll, afterEach, expect, test, vi } from 'vitest';
import type { Clock } from '../../ingest/clock.ts';
import { recordOfKeptRun } from '../../server/cli/recordOfKeptRun.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { readRun } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { keptPlan } from '../../server/recording/keptRun.ts';
import { crashImage, KeptService, newFolder, removeFolders, runFolderOf, STREAM } from './keptService.ts';
import { TroubledDisk } from './troubledDisk.ts';

// A loaded machine: what takes seconds alone may take a minute.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });
const PATIENCE_MS = 120_000;

const TEXT = readFileSync(STREAM, 'latin1');
const FRAMES = TEXT.split(/(?<=!!\r?\n)/)
  .slice(0, 4000)
  .map((frame) => Buffer.from(frame, 'latin1'));

/** What waits for seconds waits for hundredths of them. */
const hurried: Clock = {
  nowMs: () => Date.now(),
  after(ms, run) {
    const timer = setTimeout(run, ms / 100);
    return () => clearTimeout(timer);
  },
};

const services: KeptService[] = [];
afterEach(async () => {
  for (const service of services.splice(0)) await service.close();
});
afterAll(removeFolders);

async function open(data: string, disk: TroubledDisk, clock = hurried): Promise<KeptService> {
  const service = await KeptService.open(data, { disk, clock, keepEverySamples: 300 });
  services.push(service);
  return service;
}

async function send(service: KeptService, from: number, to: number): Promise<void> {
  for (let n = from; n < to; n++) {
    service.send(FRAMES[n]!);
    if (n % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
  }
  await expect.poll(() => service.live.ingest().frames, { timeout: PATIENCE_MS }).toBe(to);
}

const recording = (service: KeptService) => service.live.ingest().recording;
const frames = (service: KeptService): number => {
  const state = recording(service);
  return state.state === 'not kept' ? Number.NaN : state.frames;
};

async function recordFromLog(data: string): Promise<string> {
  const run = readRun(data, basename(runFolderOf(data)));
  try {
    return JSON.stringify(await recordOfKeptRun(run, keptPlan(run).job, () => {}));
  } finally {
    run.close();
  }
}

test('nothing is shown before it is on the disk', async () => {
  const disk = new TroubledDisk();
  const service = await KeptService.open(newFolder(), { disk });
  services.push(service);
  let release = () => {};
  disk.held = new Promise((resolve) => {
    release = resolve;
  });
  for (let n = 0; n < 3; n++) service.send(FRAMES[n]!);
  await new Promise((resolve) => setImmediate(resolve));
  await new Promise((resolve) => setImmediate(resolve));
  expect(service.live.ingest().frames).toBe(0);
  release();
  await expect.poll(() => service.live.ingest().frames).toBe(3);
  expect(frames(service)).toBe(3);
});

test('a disk that hangs holds the live screen up for a moment only, and nothing is lost', async () => {
  const disk = new TroubledDisk();
  const service = await open(newFolder(), disk);
  await send(service, 0, 100);
  let release = () => {};
  disk.held = new Promise((resolve) => {
    release = resolve;
  });
  await send(service, 100, 200);
  expect(frames(service)).toBe(100);
  release();
  await expect.poll(() => frames(service)).toBe(200);
  expect(recording(service)).toMatchObject({ state: 'recording', resumedMs: null });
});

test('a full disk: the live screen goes on and says so; recording resumes by itself and the hole is marked', async () => {
  const disk = new TroubledDisk();
  const data = newFolder();
  const service = await open(data, disk);
  const told: string[] = [];
  service.live.changes.subscribe(() => {
    const { state } = recording(service);
    if (told.at(-1) !== state) told.push(state);
  });
  await send(service, 0, 1000);
  disk.full = true;
  await send(service, 1000, 2000);
  expect(recording(service)).toMatchObject({ state: 'not recording', why: 'disk full', frames: 1000 });
  expect(service.live.record()!.source.frames).toBe(2000);
  await expect(service.live.enter({ action: 'note', by: 'A. Person', text: 'x' })).rejects.toThrow(
    'the journal: found disk full, expected to add a line',
  );
  disk.full = false;
  await expect.poll(() => recording(service).state, { timeout: PATIENCE_MS }).toBe('recording');
  await send(service, 2000, 4000);
  expect(recording(service)).toMatchObject({ resumedMs: expect.any(Number), frames: 3000 });
  expect(told).toEqual(['recording', 'not recording', 'recording']);
  const image = crashImage(data);
  const check = verifyRun(nodeDisk, runFolderOf(image));
  expect(check).toMatchObject({ whole: true, holes: [{ why: expect.stringMatching(/disk full, 10\d\d records$/) }] });
  // A kept state never holds what the log does not: what comes back is what was recorded.
  const again = await open(image, new TroubledDisk());
  expect(again.record()).toBe(await recordFromLog(image));
  expect(again.live.record()!.source.frames).toBe(3000);
  expect(again.record()).not.toBe(service.record());
});

test.each([
  [0.09, 'low'],
  [0.04, 'very low'],
  [0.3, 'plenty'],
])('with %f of the disk free it says %s', async (freeShare, room) => {
  const disk = new TroubledDisk();
  disk.freeShare = freeShare;
  const service = await open(newFolder(), disk);
  await expect.poll(() => recording(service)).toMatchObject({ state: 'recording', room });
});

test('a disk that fails: the same, and three tries first', async () => {
  const disk = new TroubledDisk();
  const service = await open(newFolder(), disk);
  await send(service, 0, 100);
  disk.fails = true;
  await send(service, 100, 300);
  expect(recording(service)).toMatchObject({ state: 'not recording', why: 'disk failed' });
  disk.fails = false;
  await expect.poll(() => recording(service).state, { timeout: PATIENCE_MS }).toBe('recording');
  await send(service, 300, 400);
  expect(frames(service)).toBe(200);
});

test('the state is not written more often than it is asked for, and few of them are kept', async () => {
  const disk = new TroubledDisk();
  const data = newFolder();
  const service = await open(data, disk);
  await send(service, 0, 4000);
  await expect
    .poll(() => readdirSync(`${runFolderOf(data)}/cache`).filter((name) => name.endsWith('.snap')).length)
    .toBeGreaterThan(1);
  expect(readdirSync(`${runFolderOf(data)}/cache`).filter((name) => name.endsWith('.snap')).length).toBeLessThanOrEqual(
    4,
  );
  expect(service.live.record()!.source.frames).toBe(4000);
});
