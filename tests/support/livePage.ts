/** A page as the service sees it: a real WebSocket, with what it was sent kept in order. */
import { once } from 'node:events';
import WebSocket, { type ClientOptions } from 'ws';
import type { DeltaMessage, PageMessage, ServerMessage, SharedMessage } from '../../src/live/messages.ts';

export class LivePage {
  readonly socket: WebSocket;
  readonly got: ServerMessage[] = [];
  /** What it was told of the shared position. */
  readonly shared: SharedMessage[] = [];
  readonly closed: Promise<number>;
  #wake: (() => void) | null = null;

  constructor(url: string, options: ClientOptions = {}) {
    this.socket = new WebSocket(url, options);
    this.socket.on('message', (data) => {
      const message: ServerMessage | SharedMessage = JSON.parse(String(data));
      if (message.type === 'shared') this.shared.push(message);
      else this.got.push(message);
      this.#wake?.();
    });
    this.socket.on('error', () => {});
    this.closed = new Promise((resolve) => this.socket.on('close', (code) => resolve(code)));
  }

  static async open(url: string, options: ClientOptions = {}): Promise<LivePage> {
    const page = new LivePage(url, options);
    await once(page.socket, 'open');
    return page;
  }

  hello(from: { run?: string; lastSeq?: number } = {}): void {
    this.socket.send(JSON.stringify({ type: 'hello', ...from }));
  }

  say(message: PageMessage): void {
    this.socket.send(JSON.stringify(message));
  }

  /** Waits until what came satisfies `enough`; the test's own time limit ends a wait in vain. */
  async until(enough: (got: readonly ServerMessage[]) => boolean): Promise<readonly ServerMessage[]> {
    while (!enough(this.got)) {
      await new Promise<void>((resolve) => {
        this.#wake = resolve;
      });
    }
    return this.got;
  }

  deltas(): DeltaMessage[] {
    return this.got.filter((message) => message.type === 'delta');
  }

  close(): void {
    this.socket.terminate();
  }
}
