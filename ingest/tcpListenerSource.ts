/** Reads a rig that connects to us. One rig at a time; a second one is refused and counted. */
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { Fault } from '../src/fault.ts';
import type { Clock } from './clock.ts';
import { type Poll, startPolling } from './poll.ts';
import { type SilenceWatch, watchSilence } from './silenceWatch.ts';
import type { Source, SourceHandlers } from './source.ts';

export interface TcpListenerOptions {
  /** 0 takes a free one. */
  readonly port: number;
  /** Loopback unless told otherwise. */
  readonly host?: string;
  /** Without a byte for this long the rig's link counts as lost. Default 30 s. */
  readonly silentAfterMs?: number;
  /** Off when left out: then nothing is ever written. */
  readonly poll?: Poll;
}

export interface TcpListenerSource extends Source {
  /** The port that is listened on, once open. */
  readonly port: number;
  /** Connections refused because a rig was connected. */
  readonly refused: number;
}

const LOOPBACK = '127.0.0.1';
const SILENT_AFTER_MS = 30_000;
const KEEP_ALIVE_MS = 10_000;

class Listener implements TcpListenerSource {
  readonly name: string;
  refused = 0;
  port: number;
  private readonly options: TcpListenerOptions;
  private readonly clock: Clock;
  private server: Server | undefined;
  private handlers: SourceHandlers | undefined;
  private rig: Socket | undefined;
  private watch: SilenceWatch | undefined;
  private stopPolling = (): void => {};

  constructor(options: TcpListenerOptions, clock: Clock) {
    this.options = options;
    this.clock = clock;
    this.port = options.port;
    this.name = `tcp-listen://${options.host ?? LOOPBACK}:${options.port}`;
  }

  /** @throws Fault 'port in use', or 'bad option' when the address cannot be listened on at all. */
  async open(handlers: SourceHandlers): Promise<void> {
    const server = createServer({ keepAlive: true, keepAliveInitialDelay: KEEP_ALIVE_MS, noDelay: true }, (socket) =>
      this.take(socket),
    );
    const { port, host = LOOPBACK } = this.options;
    await new Promise<void>((resolve, reject) => {
      server.once('error', (error: NodeJS.ErrnoException) =>
        reject(
          error.code === 'EADDRINUSE'
            ? new Fault('port in use', `${this.name}: port ${port} is taken, expected a free one`)
            : new Fault('bad option', `${this.name}: cannot listen here (${error.message})`),
        ),
      );
      server.listen({ port, host }, resolve);
    });
    server.removeAllListeners('error');
    server.on('error', (error) => this.handlers?.link('lost', `${this.name}: ${error.message}`));
    this.server = server;
    this.handlers = handlers;
    this.port = (server.address() as AddressInfo).port;
    this.listening();
  }

  async close(): Promise<void> {
    const { handlers, server } = this;
    this.handlers = undefined;
    this.server = undefined;
    this.drop();
    if (server) await new Promise<void>((resolve) => server.close(() => resolve()));
    handlers?.link('ended', `${this.name}: closed`);
  }

  private listening(): void {
    this.handlers?.link('listening', `port ${this.port}`);
  }

  private take(socket: Socket): void {
    const peer = `${socket.remoteAddress ?? 'unknown'}:${socket.remotePort ?? 0}`;
    // A socket that we are about to drop may still fail; there is nothing left to lose then.
    socket.on('error', (error) => this.rig === socket && this.lose(error.message));
    if (this.rig) {
      this.refused++;
      socket.destroy();
      this.handlers?.link('connected', `refused a second rig, ${peer} (${this.refused} refused so far)`);
      return;
    }
    this.rig = socket;
    const { silentAfterMs = SILENT_AFTER_MS, poll } = this.options;
    socket.on('data', (chunk) => {
      if (this.rig !== socket) return;
      this.watch?.heard();
      this.handlers?.bytes(chunk, this.clock.nowMs());
    });
    socket.on('close', () => this.rig === socket && this.lose('the rig closed the link'));
    this.watch = watchSilence(this.clock, silentAfterMs, () =>
      this.lose(`nothing heard for ${silentAfterMs / 1000} s`),
    );
    if (poll) this.stopPolling = startPolling(socket, poll, this.clock);
    this.handlers?.link('connected', `rig at ${peer}`);
  }

  private lose(why: string): void {
    this.drop();
    this.handlers?.link('lost', `${this.name}: ${why}`);
    this.listening();
  }

  private drop(): void {
    const { rig } = this;
    this.rig = undefined;
    this.watch?.stop();
    this.watch = undefined;
    this.stopPolling();
    rig?.destroy();
  }
}

export function tcpListenerSource(options: TcpListenerOptions, clock: Clock): TcpListenerSource {
  return new Listener(options, clock);
}
