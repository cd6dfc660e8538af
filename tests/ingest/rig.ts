import { once } from 'node:events';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';

/** A rig that listens on a free loopback port, and keeps every byte that anyone sends it. */
export class Rig {
  readonly sockets: Socket[] = [];
  received = '';
  private readonly server: Server;
  private readonly waiting: (() => void)[] = [];

  private constructor(server: Server) {
    this.server = server;
    server.on('connection', (socket) => {
      this.sockets.push(socket);
      socket.on('error', () => socket.destroy());
      socket.on('data', (chunk) => {
        this.received += chunk.toString('latin1');
        this.tell();
      });
      this.tell();
    });
  }

  static async listen(port = 0): Promise<Rig> {
    const server = createServer();
    server.listen(port, '127.0.0.1');
    await once(server, 'listening');
    return new Rig(server);
  }

  get port(): number {
    return (this.server.address() as AddressInfo).port;
  }

  get last(): Socket {
    return this.sockets.at(-1)!;
  }

  private tell(): void {
    for (const again of this.waiting.splice(0)) again();
  }

  async until(holds: (rig: Rig) => boolean): Promise<void> {
    while (!holds(this)) await new Promise<void>((resolve) => this.waiting.push(resolve));
  }

  async close(): Promise<void> {
    for (const socket of this.sockets) socket.destroy();
    this.server.close();
    await once(this.server, 'close');
  }
}
