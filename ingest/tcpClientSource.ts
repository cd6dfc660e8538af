/** Reads a rig that listens: connects, reconnects with back-off, gives up on a peer that went silent. */
import { lookup } from 'node:dns/promises';
import { connect, type Socket } from 'node:net';
import { Fault } from '../src/fault.ts';
import type { Clock } from './clock.ts';
import { type Poll, startPolling } from './poll.ts';
import { type SilenceWatch, watchSilence } from './silenceWatch.ts';
import type { Source, SourceHandlers } from './source.ts';

export interface TcpClientOptions {
  readonly host: string;
  readonly port: number;
  /** Without a byte for this long the link counts as lost. Default 30 s. */
  readonly silentAfterMs?: number;
  /** Default 10 s. */
  readonly connectTimeoutMs?: number;
  /** Wait before the first try again, doubled each time up to the longest. Defaults 0.5 s and 30 s. */
  readonly firstWaitMs?: number;
  readonly longestWaitMs?: number;
  /** Off when left out: then nothing is ever written. */
  readonly poll?: Poll;
}

const DEFAULTS = { silentAfterMs: 30_000, connectTimeoutMs: 10_000, firstWaitMs: 500, longestWaitMs: 30_000 } as const;
const KEEP_ALIVE_MS = 10_000;

class TcpClientSource implements Source {
  readonly name: string;
  private readonly options: TcpClientOptions & typeof DEFAULTS;
  private readonly clock: Clock;
  private handlers: SourceHandlers | undefined;
  private socket: Socket | undefined;
  private cancelTimer = (): void => {};
  private watch: SilenceWatch | undefined;
  private stopPolling = (): void => {};
  private waitMs: number;

  constructor(options: TcpClientOptions, clock: Clock) {
    this.options = { ...DEFAULTS, ...options } as TcpClientOptions & typeof DEFAULTS;
    this.clock = clock;
    this.name = `tcp://${options.host}:${options.port}`;
    this.waitMs = this.options.firstWaitMs;
  }

  /** @throws Fault 'unreachable' when the host's name does not exist; a rig that is not there yet is waited for. */
  async open(handlers: SourceHandlers): Promise<void> {
    const { host, port } = this.options;
    if (!Number.isInteger(port) || port < 1 || port > 65_535) {
      throw new Fault('bad option', `${this.name}: found port ${port}, expected 1 to 65535`);
    }
    try {
      await lookup(host);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOTFOUND') {
        throw new Fault(
          'unreachable',
          `${this.name}: found no host of this name, expected one that the rig listens on`,
        );
      }
      // Any other trouble of name service may pass; the tries to connect go on.
      handlers.link('lost', `${this.name}: ${(error as Error).message}`);
    }
    this.handlers = handlers;
    this.connect();
  }

  async close(): Promise<void> {
    const { handlers } = this;
    this.handlers = undefined;
    this.drop();
    handlers?.link('ended', `${this.name}: closed`);
  }

  private connect(): void {
    const { host, port, connectTimeoutMs } = this.options;
    this.handlers?.link('connecting', this.name);
    const socket = connect({ host, port, noDelay: true, keepAlive: true, keepAliveInitialDelay: KEEP_ALIVE_MS });
    this.socket = socket;
    this.cancelTimer = this.clock.after(connectTimeoutMs, () => this.lose('no answer to the connect'));
    socket.on('connect', () => this.connected(socket));
    socket.on('data', (chunk) => {
      if (this.socket !== socket) return;
      // Only a peer that sends is a peer that works: back-off starts again from here, not from the connect.
      this.waitMs = this.options.firstWaitMs;
      this.watch?.heard();
      this.handlers?.bytes(chunk, this.clock.nowMs());
    });
    socket.on('error', (error) => this.socket === socket && this.lose(error.message));
    socket.on('close', () => this.socket === socket && this.lose('the peer closed the link'));
  }

  private connected(socket: Socket): void {
    if (this.socket !== socket) return;
    this.cancelTimer();
    const { silentAfterMs, poll } = this.options;
    this.handlers?.link('connected', this.name);
    this.watch = watchSilence(this.clock, silentAfterMs, () =>
      this.lose(`nothing heard for ${silentAfterMs / 1000} s`),
    );
    if (poll) this.stopPolling = startPolling(socket, poll, this.clock);
  }

  private lose(why: string): void {
    this.drop();
    const { handlers, waitMs } = this;
    if (!handlers) return;
    handlers.link('lost', `${this.name}: ${why}; next try in ${waitMs / 1000} s`);
    this.cancelTimer = this.clock.after(waitMs, () => this.connect());
    this.waitMs = Math.min(waitMs * 2, this.options.longestWaitMs);
  }

  /** Lets go of the socket and of every timer. */
  private drop(): void {
    const { socket } = this;
    this.socket = undefined;
    this.cancelTimer();
    this.watch?.stop();
    this.watch = undefined;
    this.stopPolling();
    socket?.destroy();
  }
}

export function tcpClientSource(options: TcpClientOptions, clock: Clock): Source {
  return new TcpClientSource(options, clock);
}
