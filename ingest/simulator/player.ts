/**
 * Plays a trip's frames on a TCP port to whoever connects, in real time or faster.
 *
 * P1 The run's clock starts with the first client; before that nothing is sent.
 * P2 The first client gets everything before `opensAtMs` at once; a client that comes later gets what falls due later.
 * P3 Nothing is queued for a slow client: each has a place in the frames, and goes on from there when it has read.
 * P4 When the run is over and every client has got it, connections and port are closed.
 */
import { createServer, type Server, type Socket } from 'node:net';
import { Fault } from '../../src/fault.ts';
import type { Clock } from '../clock.ts';
import { latin1Bytes, type StreamFrame } from './tripStream.ts';

export const PLAYER_LIMITS = {
  clients: 16,
  /** Bytes that may wait in one socket before its client is let catch up. */
  waitingBytes: 256 * 1024,
  /** Frames joined into one write. */
  framesAWrite: 64,
  /** Rig seconds in one of ours. */
  speed: 100_000,
} as const;

/** Frames that fall due within this time are sent together, ms of our clock. */
const SHORTEST_WAIT_MS = 5;

export interface PlayerOptions {
  /** In the order in which they are sent. */
  readonly frames: readonly StreamFrame[];
  readonly clock: Clock;
  /** Rig seconds that pass in one of ours, above 0. */
  readonly speed: number;
  /** Everything stamped before this is sent at once, ms since 1970 UTC; the first frame when left out. */
  readonly opensAtMs?: number;
  readonly host: string;
  /** 0 takes any free port. */
  readonly port: number;
}

export type PlayerState = { kind: 'idle' } | { kind: 'playing'; sinceMs: number } | { kind: 'ended' };

export interface PlayerStatus {
  readonly state: PlayerState;
  readonly clients: number;
  readonly refusedClients: number;
  readonly lostClients: number;
  /** Frames that have fallen due. */
  readonly due: number;
  /** Bytes that wait in all sockets. */
  readonly waitingBytes: number;
}

interface Client {
  readonly socket: Socket;
  /** The next frame to be sent. */
  next: number;
}

export class Player {
  /** Resolves when the run has been played to its end, or the player was closed. */
  readonly ended: Promise<void>;
  readonly #options: PlayerOptions;
  readonly #opensAtMs: number;
  readonly #server: Server;
  readonly #clients = new Set<Client>();
  #state: PlayerState = { kind: 'idle' };
  #due = 0;
  #refusedClients = 0;
  #lostClients = 0;
  #callOff: () => void = () => {};
  #resolveEnded: () => void = () => {};

  /** @throws Fault `bad option` */
  constructor(options: PlayerOptions) {
    const { speed, frames } = options;
    if (!(speed > 0 && speed <= PLAYER_LIMITS.speed)) {
      throw new Fault('bad option', `speed: found ${speed}, expected more than 0 and at most ${PLAYER_LIMITS.speed}`);
    }
    this.#options = options;
    this.#opensAtMs = options.opensAtMs ?? frames[0]?.sourceMs ?? 0;
    this.#server = createServer((socket) => this.#welcome(socket));
    this.ended = new Promise<void>((resolve) => {
      this.#resolveEnded = resolve;
    });
  }

  /** @throws Fault `port in use` */
  start(): Promise<{ port: number }> {
    const { host, port } = this.#options;
    return new Promise((resolve, reject) => {
      this.#server.once('error', (error: NodeJS.ErrnoException) => {
        const what = error.code === 'EADDRINUSE' ? 'found it taken, expected a free port' : error.message;
        reject(new Fault('port in use', `${host}:${port}: ${what}`));
      });
      this.#server.listen(port, host, () => {
        const address = this.#server.address();
        resolve({ port: typeof address === 'object' && address ? address.port : port });
      });
    });
  }

  /** Stops whatever is going on; may be called more than once. */
  close(): Promise<void> {
    return new Promise((resolve) => {
      this.#callOff();
      this.#state = { kind: 'ended' };
      for (const { socket } of this.#clients) socket.destroy();
      this.#server.close(() => resolve());
      this.#resolveEnded();
    });
  }

  status(): PlayerStatus {
    return {
      state: this.#state,
      clients: this.#clients.size,
      refusedClients: this.#refusedClients,
      lostClients: this.#lostClients,
      due: this.#due,
      waitingBytes: [...this.#clients].reduce((sum, { socket }) => sum + socket.writableLength, 0),
    };
  }

  #welcome(socket: Socket): void {
    if (this.#clients.size >= PLAYER_LIMITS.clients || this.#state.kind === 'ended') {
      this.#refusedClients++;
      socket.destroy();
      return;
    }
    const client: Client = { socket, next: this.#due };
    this.#clients.add(client);
    socket.setNoDelay(true);
    // A poll or anything else that a client says is read and dropped: a rig that plays does not listen.
    socket.resume();
    socket.on('drain', () => this.#send(client));
    socket.on('error', () => {
      this.#lostClients++;
    });
    socket.on('close', () => {
      this.#clients.delete(client);
      this.#finish();
    });
    if (this.#state.kind === 'idle') {
      this.#state = { kind: 'playing', sinceMs: this.#options.clock.nowMs() };
      this.#tick();
    }
  }

  #tick(): void {
    if (this.#state.kind !== 'playing') return;
    const { frames, clock, speed } = this.#options;
    const rigMs = this.#opensAtMs + (clock.nowMs() - this.#state.sinceMs) * speed;
    while (this.#due < frames.length && frames[this.#due]!.sourceMs <= rigMs) this.#due++;
    for (const client of this.#clients) this.#send(client);
    const next = frames[this.#due];
    if (next) {
      const waitMs = Math.max(SHORTEST_WAIT_MS, (next.sourceMs - rigMs) / speed);
      this.#callOff = clock.after(waitMs, () => this.#tick());
    } else this.#finish();
  }

  /** Sends what is due as far as the client keeps up. */
  #send(client: Client): void {
    const { socket } = client;
    const { frames } = this.#options;
    while (client.next < this.#due && socket.writableLength < PLAYER_LIMITS.waitingBytes) {
      const until = Math.min(this.#due, client.next + PLAYER_LIMITS.framesAWrite);
      socket.write(latin1Bytes(frames.slice(client.next, until).flatMap((frame) => frame.packets)));
      client.next = until;
    }
    if (this.#due === frames.length && client.next === this.#due && !socket.writableEnded) socket.end();
  }

  #finish(): void {
    if (this.#due < this.#options.frames.length || this.#clients.size > 0 || this.#state.kind !== 'playing') return;
    this.#state = { kind: 'ended' };
    this.#server.close();
    this.#resolveEnded();
  }
}

export const createPlayer = (options: PlayerOptions): Player => new Player(options);
