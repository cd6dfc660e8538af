/** The rig's end of a real TCP link: listens, and sends what it is given to whoever has connected. */
import { once } from 'node:events';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';

export class RigFeed {
  readonly #server: Server;
  readonly #connected: Promise<Socket>;
  #socket: Socket | undefined;
  readonly port: number;

  private constructor(server: Server) {
    this.#server = server;
    this.port = (server.address() as AddressInfo).port;
    this.#connected = once(server, 'connection').then(([socket]: Socket[]) => {
      socket!.setNoDelay(true);
      // The service hangs up when it is stopped; that ends the benchmark, not this program.
      socket!.on('error', (error) => process.stderr.write(`rig feed: ${error.message}\n`));
      socket!.resume();
      return socket!;
    });
  }

  static async open(): Promise<RigFeed> {
    const server = createServer();
    server.listen(0, '127.0.0.1');
    await once(server, 'listening');
    return new RigFeed(server);
  }

  async connected(): Promise<void> {
    this.#socket = await this.#connected;
  }

  /** Resolves when the system has taken it all. */
  async send(text: string): Promise<void> {
    const socket = this.#socket ?? (await this.#connected);
    if (!socket.write(text, 'latin1')) await once(socket, 'drain');
  }

  async close(): Promise<void> {
    this.#socket?.destroy();
    this.#server.close();
  }
}

export const sleep = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** Calls `step` at an even rate; what falls behind is caught up at once. */
export async function paced(count: number, perSecond: number, step: (index: number) => void): Promise<void> {
  const from = performance.now();
  for (let index = 0; index < count; index++) {
    const wait = from + (index * 1000) / perSecond - performance.now();
    if (wait > 0.5) await sleep(wait);
    step(index);
  }
}
