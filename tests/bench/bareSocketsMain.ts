/** The least that any service of pages can do: for every frame on the rig's socket, one pre-made text to every page. */
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { connect } from 'node:net';
import { WebSocketServer } from 'ws';

export interface BareOrder {
  readonly rigPort: number;
  readonly messageBytes: number;
}

const BANG = 33;

process.once('message', async ({ rigPort, messageBytes }: BareOrder) => {
  const message = 'x'.repeat(messageBytes);
  const server = new WebSocketServer({ host: '127.0.0.1', port: 0, perMessageDeflate: false });
  server.on('connection', (page) => page.once('message', () => page.send(message)));
  await once(server, 'listening');
  const rig = connect({ host: '127.0.0.1', port: rigPort, noDelay: true });
  rig.on('data', (bytes) => {
    if (!bytes.includes(BANG)) return;
    for (const page of server.clients) page.send(message);
  });
  await once(rig, 'connect');
  process.send!((server.address() as AddressInfo).port);
});
process.on('disconnect', () => process.exit(0));
