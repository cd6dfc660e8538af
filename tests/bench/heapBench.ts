/**
 * The page's heap while a run goes by at 60×. The warm-up is played faster, so that code is compiled, caches are filled
 * and the page's lists are at their bounds; then live bytes are read behind forced collections, for two hours of the rig's,
 * two minutes of ours, unless BENCH_HEAP_MINUTES says more (60: an hour of ours).
 */
import type { CDPSession } from 'playwright-core';
import type { BenchLine } from './benchLine.ts';
import { openPage } from './openPage.ts';
import { paced, RigFeed } from './rigFeed.ts';
import { startServe } from './serveProcess.ts';
import { slope } from './slope.ts';
import { TRIP_FRAMES, trip72h, tripFrames } from './trip72h.ts';

const RATE = 60;
const SAMPLES = 12;
/** Two hours of the rig's in twelve seconds, then half an hour at the rate that is measured at. */
const WARM_UP = [
  { frames: 7200, rate: 600 },
  { frames: 1800, rate: RATE },
] as const;
/** A single forced collection leaves objects behind that only the next one finds to be dead. */
const COLLECTIONS = 4;
/** In an hour of the rig's. */
const GOAL_MB_AN_HOUR = 1;

interface HeapSize {
  readonly hour: number;
  /** Objects and compiled code. */
  readonly used: number;
  /** Typed arrays: rows of the traces, bounded by the store's own limit. */
  readonly arrays: number;
}

async function heapAt(debug: CDPSession, frame: number): Promise<HeapSize> {
  for (let i = 0; i < COLLECTIONS; i++) await debug.send('HeapProfiler.collectGarbage');
  const usage: { usedSize: number; backingStorageSize?: number } = await debug.send('Runtime.getHeapUsage');
  return { hour: frame / 3600, used: usage.usedSize, arrays: usage.backingStorageSize ?? Number.NaN };
}

/** @param count frames played at 60× after the warm-up */
async function watch(count: number): Promise<HeapSize[]> {
  const { planFile, streamFile } = trip72h();
  const warmUp = WARM_UP.reduce((sum, { frames }) => sum + frames, 0);
  const frames = tripFrames(streamFile, 0, warmUp + count);
  const feed = await RigFeed.open();
  const service = await startServe([
    ...['--plan', planFile, '--connect', `127.0.0.1:${feed.port}`, '--rate', String(RATE)],
  ]);
  try {
    await feed.connected();
    const { debug, close } = await openPage(service.url);
    let at = 0;
    const play = (index: number) => void feed.send(frames[at + index]!);
    for (const part of WARM_UP) {
      await paced(part.frames, part.rate, play);
      at += part.frames;
    }
    const sizes = [await heapAt(debug, at)];
    const every = Math.floor(count / SAMPLES);
    let asked: Promise<unknown> = Promise.resolve();
    await paced(count, RATE, (i) => {
      play(i);
      if ((i + 1) % every !== 0) return;
      asked = asked.then(async () => sizes.push(await heapAt(debug, at + i + 1)));
    });
    await asked;
    await close();
    return sizes;
  } finally {
    await service.stop();
    await feed.close();
  }
}

export async function run(): Promise<BenchLine[]> {
  const minutes = Number(process.env.BENCH_HEAP_MINUTES ?? 2);
  const warmUp = WARM_UP.reduce((sum, { frames }) => sum + frames, 0);
  const count = Math.min(TRIP_FRAMES - warmUp, minutes * 60 * RATE);
  const sizes = await watch(count);
  const growth = (of: (size: HeapSize) => number) => slope(sizes.map((size) => ({ x: size.hour, y: of(size) / 1e6 })));
  const words = (of: (size: HeapSize) => number) => sizes.map((size) => (of(size) / 1e6).toFixed(2)).join(' ');
  const ends = [sizes[0]!, sizes[sizes.length >> 1]!, sizes[sizes.length - 1]!];
  const rigHours = (frames: number) => (frames / 3600).toFixed(1);
  return [
    {
      what: `the page's heap at ${RATE}×, ${rigHours(count)} h of the rig after ${rigHours(warmUp)} h of warm-up`,
      ours: `${ends.map(({ used }) => (used / 1e6).toFixed(2)).join(' / ')} MB`,
      beside: '',
      found: growth(({ used }) => used),
      unit: 'MB/h',
      goal: GOAL_MB_AN_HOUR,
      note:
        `an hour is one of the rig's; ours: start / middle / end; every ${((minutes * 60) / SAMPLES).toFixed(0)} s: ` +
        `${words(({ used }) => used)} MB`,
    },
    {
      what: "the page's typed arrays meanwhile",
      ours: `${ends.map(({ arrays }) => (arrays / 1e6).toFixed(2)).join(' / ')} MB`,
      beside: '',
      found: growth(({ arrays }) => arrays),
      unit: 'MB/h',
      goal: null,
      note: 'rows of the traces, at most 96 h at 1 Hz (26 MB); columns double as they fill',
    },
  ];
}
