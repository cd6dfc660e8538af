import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { type TcpListenerOptions, type TcpListenerSource, tcpListenerSource } from '../../ingest/tcpListenerSource.ts';
import { ManualClock } from '../support/manualClock.ts';
import { LinkLog } from './linkLog.ts';

const open: { close(): unknown }[] = [];
afterEach(async () => {
  for (const each of open.splice(0).reverse()) await each.close();
});

async function listener(
  options: Partial<TcpListenerOptions> = {},
): Promise<{ source: TcpListenerSource; log: LinkLog; clock: ManualClock }> {
  const clock = new ManualClock();
  const log = new LinkLog();
  const source = tcpListenerSource({ port: 0, ...options }, clock);
  await source.open(log);
  open.push(source);
  return { source, log, clock };
}

async function rigTo(port: number): Promise<Socket> {
  const socket = connect({ port, host: '127.0.0.1' });
  open.push({ close: () => socket.destroy() });
  socket.on('error', () => socket.destroy());
  await once(socket, 'connect');
  return socket;
}

test('one rig at a time: a second one is refused and counted, the next is taken when the first has gone', async () => {
  const { source, log } = await listener();
  const first = await rigTo(source.port);
  let heard = '';
  first.on('data', (chunk) => {
    heard += chunk;
  });
  first.write('one');
  await log.until((each) => each.text === 'one');
  const second = await rigTo(source.port);
  await once(second, 'close');
  expect(source.refused).toBe(1);
  expect(log.details.at(-1)).toMatch(/refused a second rig/);
  first.end();
  await log.until((each) => each.links.includes('lost'));
  const third = await rigTo(source.port);
  third.write('three');
  await log.until((each) => each.text === 'onethree');
  expect(log.links).toEqual(['listening', 'connected', 'connected', 'lost', 'listening', 'connected']);
  expect(heard).toBe('');
});

test('a silent rig frees the place', async () => {
  const { source, log, clock } = await listener({ silentAfterMs: 5000 });
  const rig = await rigTo(source.port);
  await log.until((each) => each.links.includes('connected'));
  clock.advance(5000);
  await once(rig, 'close');
  expect(log.links.slice(-2)).toEqual(['lost', 'listening']);
});

test('a taken port is a fault, loopback is the default', async () => {
  const { source } = await listener();
  expect(source.name).toMatch(/127\.0\.0\.1/);
  const other = tcpListenerSource({ port: source.port }, new ManualClock());
  await expect(other.open(new LinkLog())).rejects.toMatchObject({ name: 'Fault', code: 'port in use' });
  const nowhere = tcpListenerSource({ port: 0, host: '192.0.2.1' }, new ManualClock());
  await expect(nowhere.open(new LinkLog())).rejects.toMatchObject({ code: 'bad option' });
});
