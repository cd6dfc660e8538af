/**
 * The service's size over 72 h played as fast as it takes them, an hour of the rig at a time over a real TCP link. After
 * each hour the live bytes are read behind a forced collection, over node's own inspector, beside the resident size.
 */
import WebSocket from 'ws';
import { RING_LIMIT_BYTES } from '../../server/live/deltaRing.ts';
import { TRACE_LIMITS } from '../../src/traces/traceStore.ts';
import { type BenchLine, inMb } from './benchLine.ts';
import { RigFeed, sleep } from './rigFeed.ts';
import { residentBytes, type ServeProcess, startServe } from './serveProcess.ts';
import { TRIP_FRAMES, trip72h, tripFrames } from './trip72h.ts';

const HOURS = 72;
const FRAMES_AN_HOUR = TRIP_FRAMES / HOURS;
/** A growth below this in an hour would take a 14 day run to 34 MB: less than the noise of the resident size. */
const GOAL_MB_AN_HOUR = 0.1;

interface Size {
  readonly hour: number;
  readonly resident: number;
  readonly heap: number;
  readonly arrays: number;
}

/** Asks node itself; one question at a time. */
class Inspector {
  readonly #socket: WebSocket;
  #id = 0;
  readonly #waiting = new Map<number, (result: { result?: { value?: unknown } }) => void>();

  private constructor(socket: WebSocket) {
    this.#socket = socket;
    socket.on('message', (data) => {
      const { id, result } = JSON.parse(String(data));
      this.#waiting.get(id)?.(result);
      this.#waiting.delete(id);
    });
  }

  static async open(service: ServeProcess): Promise<Inspector> {
    const address = /ws:\/\/\S+/.exec(service.said())?.[0];
    if (address === undefined) throw new Error(`node named no inspector: ${service.said()}`);
    const socket = new WebSocket(address);
    await new Promise<void>((resolve, reject) => {
      socket.once('open', resolve);
      socket.once('error', reject);
    });
    return new Inspector(socket);
  }

  ask(method: string, params = {}): Promise<{ result?: { value?: unknown } }> {
    const id = ++this.#id;
    return new Promise((resolve) => {
      this.#waiting.set(id, resolve);
      this.#socket.send(JSON.stringify({ id, method, params }));
    });
  }

  close(): void {
    this.#socket.terminate();
  }
}

async function sizeAt(hour: number, service: ServeProcess, inspector: Inspector): Promise<Size> {
  const resident = residentBytes(service.child);
  await inspector.ask('HeapProfiler.collectGarbage');
  const expression = 'process.memoryUsage()';
  const { result } = await inspector.ask('Runtime.evaluate', { expression, returnByValue: true });
  const { heapUsed, arrayBuffers } = result!.value as { heapUsed: number; arrayBuffers: number };
  return { hour, resident, heap: heapUsed, arrays: arrayBuffers };
}

async function untilWorked(service: ServeProcess, frames: number): Promise<void> {
  for (;;) {
    const counts = (await (await fetch(`${service.url}api/ingest`)).json()) as { frames: number };
    if (counts.frames >= frames) return;
    await sleep(5);
  }
}

async function play(): Promise<Size[]> {
  const { planFile, streamFile } = trip72h();
  const frames = tripFrames(streamFile, 0, TRIP_FRAMES);
  const feed = await RigFeed.open();
  const source = ['--connect', `127.0.0.1:${feed.port}`, '--rate', '3600'];
  const service = await startServe(['--plan', planFile, ...source], ['--inspect=127.0.0.1:0']);
  const inspector = await Inspector.open(service);
  try {
    await feed.connected();
    const sizes: Size[] = [];
    for (let hour = 1; hour <= HOURS; hour++) {
      await feed.send(frames.slice((hour - 1) * FRAMES_AN_HOUR, hour * FRAMES_AN_HOUR).join(''));
      await untilWorked(service, hour * FRAMES_AN_HOUR);
      sizes.push(await sizeAt(hour, service, inspector));
    }
    return sizes;
  } finally {
    inspector.close();
    await service.stop();
    await feed.close();
  }
}

/** Least squares, per hour. */
export function slope(points: readonly { readonly x: number; readonly y: number }[]): number {
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / points.length;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / points.length;
  let over = 0;
  let under = 0;
  for (const { x, y } of points) {
    over += (x - meanX) * (y - meanY);
    under += (x - meanX) ** 2;
  }
  return over / under;
}

export async function run(): Promise<BenchLine[]> {
  const sizes = await play();
  const at = (share: number) => sizes[HOURS * share - 1]!;
  const late = sizes.filter(({ hour }) => hour >= HOURS / 4);
  const growth = (of: (size: Size) => number) => slope(late.map((size) => ({ x: size.hour, y: of(size) / 1e6 })));
  const quarters = [0.25, 0.5, 0.75, 1].map(at);
  const words = (of: (size: Size) => number) => quarters.map((size) => (of(size) / 1e6).toFixed(1)).join(' / ');
  return [
    {
      what: 'serve, live objects over 72 h, growth after 18 h',
      ours: `${words((size) => size.heap)} MB`,
      beside: '',
      found: growth((size) => size.heap),
      unit: 'MB/h',
      goal: GOAL_MB_AN_HOUR,
      note: 'at 25 / 50 / 75 / 100 % of the run, behind a forced collection',
    },
    {
      what: 'serve, stores of bytes over 72 h',
      ours: `${words((size) => size.arrays)} MB`,
      beside: '',
      found: growth((size) => size.arrays),
      unit: 'MB/h',
      goal: null,
      note:
        `bounded: traces, ${TRACE_LIMITS.rows} rows (14 days at 1 Hz, 82 MB), columns that double as they fill; ` +
        `deltas for pages that come back, ${inMb(RING_LIMIT_BYTES)}`,
    },
    {
      what: 'serve, resident size over 72 h',
      ours: `${words((size) => size.resident)} MB`,
      beside: '',
      found: growth((size) => size.resident - size.arrays),
      unit: 'MB/h',
      goal: null,
      note: 'growth: of the resident size less the bounded stores; before each collection, as it is',
    },
  ];
}
