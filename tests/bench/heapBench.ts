/**
 * The page's heap while a run goes by at 60×: live bytes by heap snapshots. One minute of ours, one hour of the
 * rig's, unless BENCH_HEAP_MINUTES says more (60: an hour of ours).
 */
import type { CDPSession } from 'playwright-core';
import type { BenchLine } from './benchLine.ts';
import { slope } from './memoryBench.ts';
import { openPage } from './openPage.ts';
import { paced, RigFeed } from './rigFeed.ts';
import { startServe } from './serveProcess.ts';
import { TRIP_FRAMES, trip72h, tripFrames } from './trip72h.ts';

const RATE = 60;
const SAMPLES = 6;
/** The first samples are left out of the slope: code is still being compiled and caches filled. */
const WARM_UP_SAMPLES = 2;
/** In an hour of the rig's; the trace rows that the page keeps in typed arrays are bounded and counted apart. */
const GOAL_MB_AN_HOUR = 1;

interface HeapSize {
  readonly hour: number;
  readonly used: number;
  readonly arrays: number;
}

/**
 * What lives on the heap, by a heap snapshot: a single forced collection leaves objects behind that a snapshot, which
 * collects until nothing more goes, does not. Compiled code is left out: the engine keeps compiling for a while.
 */
async function heapAt(debug: CDPSession, frame: number): Promise<HeapSize> {
  const parts: string[] = [];
  const take = ({ chunk }: { chunk: string }) => void parts.push(chunk);
  debug.on('HeapProfiler.addHeapSnapshotChunk', take);
  await debug.send('HeapProfiler.takeHeapSnapshot', { reportProgress: false });
  debug.off('HeapProfiler.addHeapSnapshotChunk', take);
  const { snapshot, nodes } = JSON.parse(parts.join('')) as {
    snapshot: { meta: { node_fields: string[]; node_types: [string[]] } };
    nodes: number[];
  };
  const fields = snapshot.meta.node_fields;
  const [type, size] = [fields.indexOf('type'), fields.indexOf('self_size')];
  const bytes = { used: 0, arrays: 0 };
  for (let i = 0; i < nodes.length; i += fields.length) {
    const kind = snapshot.meta.node_types[0][nodes[i + type]!];
    if (kind === 'native') bytes.arrays += nodes[i + size]!;
    else if (kind !== 'code') bytes.used += nodes[i + size]!;
  }
  return { hour: frame / 3600, ...bytes };
}

async function watch(count: number): Promise<HeapSize[]> {
  const { planFile, streamFile } = trip72h();
  const frames = tripFrames(streamFile, 0, count);
  const feed = await RigFeed.open();
  const service = await startServe([
    ...['--plan', planFile, '--connect', `127.0.0.1:${feed.port}`, '--rate', String(RATE)],
  ]);
  try {
    await feed.connected();
    const { debug, close } = await openPage(service.url);
    let asked: Promise<HeapSize[]> = Promise.resolve([]);
    const every = Math.floor(count / SAMPLES);
    await paced(count, RATE, (i) => {
      void feed.send(frames[i]!);
      // One after another: two snapshots at once would mix their pieces.
      if ((i + 1) % every === 0) asked = asked.then(async (before) => [...before, await heapAt(debug, i + 1)]);
    });
    const sizes = await asked;
    await close();
    return sizes;
  } finally {
    await service.stop();
    await feed.close();
  }
}

export async function run(): Promise<BenchLine[]> {
  const minutes = Number(process.env.BENCH_HEAP_MINUTES ?? 1);
  const count = Math.min(TRIP_FRAMES, minutes * 60 * RATE);
  const sizes = await watch(count);
  const late = sizes.slice(WARM_UP_SAMPLES);
  const growth = (of: (size: HeapSize) => number) => slope(late.map((size) => ({ x: size.hour, y: of(size) / 1e6 })));
  const shown = [late[0]!, sizes[sizes.length >> 1]!, sizes[sizes.length - 1]!];
  const words = (of: (size: HeapSize) => number) => shown.map((size) => (of(size) / 1e6).toFixed(2)).join(' / ');
  const hours = (count / 3600).toFixed(1);
  return [
    {
      what: `the page's heap at ${RATE}×, ${hours} h of the rig`,
      ours: `${words((size) => size.used)} MB`,
      beside: '',
      found: growth((size) => size.used),
      unit: 'MB/h',
      goal: GOAL_MB_AN_HOUR,
      note:
        `every ${((minutes * 60) / SAMPLES).toFixed(0)} s: ${sizes.map(({ used }) => (used / 1e6).toFixed(2)).join(' ')} MB; an hour is one of the rig's; after warm-up / middle / end of ${minutes} min of ours; ` +
        `the browser's own objects and typed arrays apart: ${words((size) => size.arrays)} MB. A leak smaller than the goal does not show in so short a run`,
    },
  ];
}
