/**
 * Many pages in one process of their own: connects to each address that it is sent, says hello, and notes when messages
 * come. The same program for our service and for the bare one. Times are of the system's monotonic clock, which all
 * processes share, ms.
 */
import { once } from 'node:events';
import WebSocket from 'ws';

export type ClientOrder =
  | { readonly kind: 'connect'; readonly url: string; readonly sockets: number }
  | { readonly kind: 'start'; readonly url: string }
  | { readonly kind: 'report'; readonly url: string };
export interface ClientReport {
  /** By socket: when each message came, ms. */
  readonly arrivals: readonly (readonly number[])[];
  /** Bytes of the last message. */
  readonly lastBytes: number;
}

interface Watched {
  sockets: number;
  arrivals: number[][];
  last: Buffer;
}
const watched = new Map<string, Watched>();
const monotonicMs = (): number => Number(process.hrtime.bigint()) / 1e6;

async function connect(url: string, sockets: number): Promise<void> {
  const state: Watched = { sockets, arrivals: [], last: Buffer.alloc(0) };
  watched.set(url, state);
  for (let i = 0; i < sockets; i++) {
    const socket = new WebSocket(url, { perMessageDeflate: false });
    socket.on('message', (data: Buffer) => {
      state.arrivals[i]?.push(monotonicMs());
      state.last = data;
    });
    await once(socket, 'open');
    socket.send('{"type":"hello"}');
    await once(socket, 'message');
  }
}

process.on('message', async (order: ClientOrder) => {
  const state = watched.get(order.url);
  if (order.kind === 'connect') {
    await connect(order.url, order.sockets);
    process.send!('connected');
  } else if (order.kind === 'start') {
    state!.arrivals = Array.from({ length: state!.sockets }, () => []);
    process.send!('started');
  } else {
    const report: ClientReport = { arrivals: state!.arrivals, lastBytes: state!.last.length };
    process.send!(report);
  }
});
process.on('disconnect', () => process.exit(0));
