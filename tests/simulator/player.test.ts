import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { connect, createServer, type Socket } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import type { Clock } from '../../ingest/clock.ts';
import { createPlayer, PLAYER_LIMITS, type Player, type PlayerOptions } from '../../ingest/simulator/player.ts';
import type { StreamFrame } from '../../ingest/simulator/tripStream.ts';

/** A clock that stands until it is moved. */
function handClock(): Clock & { move(ms: number): void } {
  let now = 1_000_000;
  let waiting: { at: number; call: () => void }[] = [];
  return {
    nowMs: () => now,
    after(ms, call) {
      const entry = { at: now + ms, call };
      waiting.push(entry);
      return () => {
        waiting = waiting.filter((other) => other !== entry);
      };
    },
    move(ms) {
      now += ms;
      const ready = waiting.filter((entry) => entry.at <= now);
      waiting = waiting.filter((entry) => entry.at > now);
      for (const entry of ready) entry.call();
    },
  };
}

const START_MS = Date.UTC(2031, 2, 4);
const frames = (count: number, size = 0): StreamFrame[] =>
  Array.from({ length: count }, (_, i) => ({
    sourceMs: START_MS + i * 1000,
    packets: [`&&\r\n0104${i}\r\n${'x'.repeat(size)}!!\r\n`],
  }));
const textOf = (of: readonly StreamFrame[]): string => of.flatMap((frame) => frame.packets).join('');

interface Reader {
  readonly socket: Socket;
  text(): string;
  until(holds: (text: string) => boolean): Promise<void>;
  readonly closed: Promise<unknown>;
}

async function read(port: number): Promise<Reader> {
  const socket = connect(port, '127.0.0.1');
  let text = '';
  socket.on('data', (chunk) => {
    text += chunk.toString('latin1');
  });
  const closed = once(socket, 'close');
  await once(socket, 'connect');
  return {
    socket,
    closed,
    text: () => text,
    until: async (holds) => {
      while (!holds(text)) await once(socket, 'data');
    },
  };
}

describe('a player', () => {
  const open: Player[] = [];
  const player = (options: Omit<PlayerOptions, 'host' | 'port'>): Player => {
    const made = createPlayer({ ...options, host: '127.0.0.1', port: 0 });
    open.push(made);
    return made;
  };
  afterEach(async () => {
    await Promise.all(open.splice(0).map((made) => made.close()));
  });

  test('P1, P4: sends each frame when it falls due, faster by the speed, and ends with the run', async () => {
    const clock = handClock();
    const run = frames(5);
    const made = player({ frames: run, clock, speed: 10 });
    const { port } = await made.start();
    clock.move(60_000);
    const reader = await read(port);
    await reader.until((text) => text.includes('01040'));
    expect(reader.text()).toBe(textOf(run.slice(0, 1)));
    clock.move(199);
    await reader.until((text) => text.includes('01041'));
    expect(reader.text()).toBe(textOf(run.slice(0, 2)));
    clock.move(400);
    await reader.closed;
    expect(reader.text()).toBe(textOf(run));
    await made.ended;
    expect(made.status().state.kind).toBe('ended');
  });

  test('P2: the first client gets what lies before the opening at once, a later one only what comes', async () => {
    const clock = handClock();
    const run = frames(200);
    const made = player({ frames: run, clock, speed: 1, opensAtMs: START_MS + 149_000 });
    const { port } = await made.start();
    const first = await read(port);
    await first.until((text) => text.includes('0104149\r\n!!\r\n'));
    expect(first.text()).toBe(textOf(run.slice(0, 150)));
    const second = await read(port);
    while (made.status().clients < 2) await new Promise((resolve) => setImmediate(resolve));
    clock.move(1000);
    await second.until((text) => text.includes('!!'));
    expect(second.text()).toBe(textOf(run.slice(150, 151)));
  });

  test('P3: a client that does not read is not queued for, and gets everything once it reads', async () => {
    const clock = handClock();
    const run = frames(2000, 10_000);
    const made = player({ frames: run, clock, speed: 1, opensAtMs: START_MS + 3_000_000 });
    const { port } = await made.start();
    const socket = connect(port, '127.0.0.1');
    socket.pause();
    await once(socket, 'connect');
    while (made.status().due < run.length) await new Promise((resolve) => setImmediate(resolve));
    expect(made.status().state.kind).toBe('playing');
    const oneWrite = PLAYER_LIMITS.framesAWrite * run[0]!.packets[0]!.length * 1.01;
    expect(made.status().waitingBytes).toBeGreaterThan(0);
    expect(made.status().waitingBytes).toBeLessThan(PLAYER_LIMITS.waitingBytes + oneWrite);
    let bytes = 0;
    socket.on('data', (chunk) => {
      bytes += chunk.length;
    });
    socket.resume();
    await once(socket, 'close');
    expect(bytes).toBe(textOf(run).length);
  });

  test('goes on when a client drops', async () => {
    const clock = handClock();
    const run = frames(3);
    const made = player({ frames: run, clock, speed: 1 });
    const { port } = await made.start();
    const first = await read(port);
    const second = await read(port);
    await first.until((text) => text.includes('!!'));
    while (made.status().clients < 2) await new Promise((resolve) => setImmediate(resolve));
    first.socket.resetAndDestroy();
    while (made.status().clients > 1) await new Promise((resolve) => setImmediate(resolve));
    clock.move(1000);
    clock.move(1000);
    await second.closed;
    expect(second.text()).toBe(textOf(run.slice(1)));
  });

  test('a port that is taken is one clear fault', async () => {
    const other = createServer();
    other.listen(0, '127.0.0.1');
    await once(other, 'listening');
    const { port } = other.address() as AddressInfo;
    const made = createPlayer({ frames: frames(1), clock: handClock(), speed: 1, host: '127.0.0.1', port });
    await expect(made.start()).rejects.toMatchObject({ code: 'port in use' });
    other.close();
  });
});
