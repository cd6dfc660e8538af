/**
 * The service's size over 72 h played as fast as it takes them, an hour of the rig at a time over a real TCP link. Played
 * twice: once left alone, for the resident size as the system sees it, and once with node's own inspector, which forces a
 * collection after each hour, for the bytes that live.
 */
import WebSocket from 'ws';
import type { BenchLine } from './benchLine.ts';
import { RigFeed, sleep } from './rigFeed.ts';
import { residentBytes, type ServeProcess, startServe } from './serveProcess.ts';
import { slope } from './slope.ts';
import { TRIP_FRAMES, trip72h, tripFrames } from './trip72h.ts';

const HOURS = 72;
const FRAMES_AN_HOUR = TRIP_FRAMES / HOURS;
/** Until then code is compiled, stores are laid out, and the engine finds the size that its heap needs. */
const WARM_UP_HOURS = 12;
/** The resident size moves by some MB as the engine takes and gives back pages: a growth below this does not show. */
const RESIDENT_GOAL_MB_AN_HOUR = 0.1;
/** Over a run of 14 days no more than 34 MB. */
const LIVE_GOAL_MB_AN_HOUR = 0.1;

interface Live {
  readonly hour: number;
  readonly heap: number;
  readonly arrays: number;
}

interface Resident {
  readonly hour: number;
  readonly bytes: number;
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

async function liveAt(hour: number, inspector: Inspector): Promise<Live> {
  await inspector.ask('HeapProfiler.collectGarbage');
  const expression = 'process.memoryUsage()';
  const { result } = await inspector.ask('Runtime.evaluate', { expression, returnByValue: true });
  const { heapUsed, arrayBuffers } = result!.value as { heapUsed: number; arrayBuffers: number };
  return { hour, heap: heapUsed, arrays: arrayBuffers };
}

async function untilWorked(service: ServeProcess, frames: number): Promise<void> {
  for (;;) {
    const counts = (await (await fetch(`${service.url}api/ingest`)).json()) as { frames: number };
    if (counts.frames >= frames) return;
    await sleep(5);
  }
}

/**
 * Plays the trip to a service of its own; `look` is called after each hour of it, `ending` before the service is stopped:
 * node does not end while somebody inspects it.
 */
async function play(
  nodeArgs: readonly string[],
  look: (hour: number, service: ServeProcess) => unknown,
  ending: () => void = () => {},
): Promise<void> {
  const { planFile, streamFile } = trip72h();
  const frames = tripFrames(streamFile, 0, TRIP_FRAMES);
  const feed = await RigFeed.open();
  const source = ['--connect', `127.0.0.1:${feed.port}`, '--rate', '3600'];
  const service = await startServe(['--plan', planFile, ...source], nodeArgs);
  try {
    await feed.connected();
    for (let hour = 1; hour <= HOURS; hour++) {
      await feed.send(frames.slice((hour - 1) * FRAMES_AN_HOUR, hour * FRAMES_AN_HOUR).join(''));
      await untilWorked(service, hour * FRAMES_AN_HOUR);
      await look(hour, service);
    }
  } finally {
    ending();
    await service.stop();
    await feed.close();
  }
}

async function residentSizes(): Promise<Resident[]> {
  const sizes: Resident[] = [];
  await play([], (hour, { child }) => sizes.push({ hour, bytes: residentBytes(child) }));
  return sizes;
}

async function liveSizes(): Promise<Live[]> {
  const sizes: Live[] = [];
  let inspector: Inspector | undefined;
  const look = async (hour: number, service: ServeProcess) => {
    inspector ??= await Inspector.open(service);
    sizes.push(await liveAt(hour, inspector));
  };
  await play(['--inspect=127.0.0.1:0'], look, () => inspector?.close());
  return sizes;
}

/** MB at the end of the warm-up and of each day, and what it grew by in an hour after the warm-up. */
function lineOf<Size extends { readonly hour: number }>(
  what: string,
  goal: number | null,
  note: string,
  sizes: readonly Size[],
  bytesOf: (size: Size) => number,
): BenchLine {
  const late = sizes.filter(({ hour }) => hour >= WARM_UP_HOURS);
  const shown = sizes.filter(({ hour }) => hour === WARM_UP_HOURS || hour % 24 === 0);
  return {
    what,
    ours: `${shown.map((size) => (bytesOf(size) / 1e6).toFixed(1)).join(' / ')} MB`,
    beside: '',
    found: slope(late.map((size) => ({ x: size.hour, y: bytesOf(size) / 1e6 }))),
    unit: 'MB/h',
    goal,
    note,
  };
}

export async function run(): Promise<BenchLine[]> {
  const resident = await residentSizes();
  const late = resident.filter(({ hour }) => hour >= WARM_UP_HOURS).map(({ bytes }) => bytes / 1e6);
  const range = `${Math.min(...late).toFixed(1)} to ${Math.max(...late).toFixed(1)} MB`;
  const live = await liveSizes();
  const at = `after ${WARM_UP_HOURS} / 24 / 48 / 72 h`;
  return [
    lineOf(
      'serve, resident size over 72 h',
      RESIDENT_GOAL_MB_AN_HOUR,
      `${at}, collections left to the engine; hour by hour ${range} after the first ${WARM_UP_HOURS}`,
      resident,
      ({ bytes }) => bytes,
    ),
    lineOf(
      'serve, live objects over 72 h',
      LIVE_GOAL_MB_AN_HOUR,
      `${at}, in a run of its own behind forced collections`,
      live,
      ({ heap }) => heap,
    ),
    lineOf(
      'serve, stores of bytes over 72 h',
      null,
      `${at}; the traces and the samples for playing back, laid out whole with the first row, the queue of the source, and the deltas for pages that come back`,
      live,
      ({ arrays }) => arrays,
    ),
  ];
}
