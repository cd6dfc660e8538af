/** 500 pages at ten frames a second: our service beside a bare one, each its own process, the pages in a third. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { BareOrder } from './bareSocketsMain.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { quantile } from './interleave.ts';
import { paced, RigFeed, sleep } from './rigFeed.ts';
import { startServe, stopChild } from './serveProcess.ts';
import type { ClientOrder, ClientReport } from './socketsClientMain.ts';
import { trip72h, tripFrames } from './trip72h.ts';

const SOCKETS = 500;
const PER_SECOND = 10;
/** The two sides take turns; frames of one turn, and turns of each. */
const FRAMES = 35;
const TURNS = 4;
const GOAL = 1.5;
const SKIPPED_FRAMES = 600;

const child = (name: string): ChildProcess => fork(fileURLToPath(new URL(name, import.meta.url)));
const monotonicMs = (): number => Number(process.hrtime.bigint()) / 1e6;

async function ask(program: ChildProcess, order: ClientOrder | BareOrder): Promise<unknown> {
  const answered = once(program, 'message');
  program.send(order);
  return (await answered)[0];
}

interface Side {
  readonly url: string;
  readonly feed: RigFeed;
  readonly delays: number[];
  /** Frames that shared a message with the next one, summed over the sockets. */
  merged: number;
}

/**
 * The n-th message on a socket is that of the n-th frame. When the machine stalls, two frames may go out as one message;
 * then each frame has arrived with the first message after it.
 */
function delaysOf(sent: readonly number[], arrivals: readonly number[]): number[] {
  if (arrivals.length === sent.length) return sent.map((at, i) => arrivals[i]! - at);
  let next = 0;
  return sent.map((at) => {
    while (next < arrivals.length && arrivals[next]! < at) next++;
    if (next === arrivals.length) throw new Error(`${arrivals.length} messages for ${sent.length} frames`);
    return arrivals[next]! - at;
  });
}

/** One turn: some frames, and how long each was on its way to each page. */
async function turn(side: Side, clients: ChildProcess, frames: readonly string[]): Promise<number> {
  await ask(clients, { kind: 'start', url: side.url });
  const sent: number[] = [];
  await paced(frames.length, PER_SECOND, (i) => {
    sent.push(monotonicMs());
    void side.feed.send(frames[i]!);
  });
  await sleep(400);
  const report = (await ask(clients, { kind: 'report', url: side.url })) as ClientReport;
  for (const arrivals of report.arrivals) {
    side.merged += sent.length - arrivals.length;
    for (const delay of delaysOf(sent, arrivals)) side.delays.push(delay);
  }
  return report.lastBytes;
}

async function measure(
  ours: Side,
  clients: ChildProcess,
  frames: readonly string[],
): Promise<Side & { bytes: number }> {
  const next = (index: number) => frames.slice(index * FRAMES, (index + 1) * FRAMES);
  await ask(clients, { kind: 'connect', url: ours.url, sockets: SOCKETS });
  const bytes = await turn(ours, clients, next(0));
  const bare = child('./bareSocketsMain.js');
  const feed = await RigFeed.open();
  try {
    const port = await ask(bare, { rigPort: feed.port, messageBytes: bytes });
    const side = { url: `ws://127.0.0.1:${port}/live`, feed, delays: [] as number[], merged: 0 };
    await ask(clients, { kind: 'connect', url: side.url, sockets: SOCKETS });
    await turn(side, clients, next(0));
    // The first turn of each was to warm up.
    for (const each of [ours, side]) {
      each.delays.length = 0;
      each.merged = 0;
    }
    for (let i = 1; i <= TURNS; i++) {
      await turn(ours, clients, next(i));
      await turn(side, clients, next(i));
    }
    return { ...side, bytes };
  } finally {
    await stopChild(bare);
    await feed.close();
  }
}

export async function run(): Promise<BenchLine[]> {
  const { planFile, streamFile } = trip72h();
  const frames = tripFrames(streamFile, SKIPPED_FRAMES, FRAMES * (TURNS + 1));
  const feed = await RigFeed.open();
  const clients = child('./socketsClientMain.js');
  const service = await startServe([
    ...['--plan', planFile, '--connect', `127.0.0.1:${feed.port}`, '--rate', String(PER_SECOND)],
  ]);
  try {
    await feed.connected();
    const ours: Side = { url: `${service.url.replace('http', 'ws')}live`, feed, delays: [], merged: 0 };
    const bare = await measure(ours, clients, frames);
    const p99 = { ours: quantile(ours.delays, 0.99), bare: quantile(bare.delays, 0.99) };
    const p50 = { ours: quantile(ours.delays, 0.5), bare: quantile(bare.delays, 0.5) };
    return [
      {
        what: `${SOCKETS} sockets, frame in to message received, p99`,
        ours: inMs(p99.ours),
        beside: `${inMs(p99.bare)} bare ws`,
        found: p99.ours / p99.bare,
        unit: '×',
        goal: GOAL,
        note:
          `${ours.delays.length} messages of ${bare.bytes} bytes a side, ${PER_SECOND} frames a second; ` +
          `p50 ${inMs(p50.ours)} beside ${inMs(p50.bare)}; merged with the next: ${ours.merged} beside ${bare.merged}`,
      },
    ];
  } finally {
    await stopChild(clients);
    await service.stop();
    await feed.close();
  }
}
