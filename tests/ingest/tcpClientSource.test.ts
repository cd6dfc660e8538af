import { once } from 'node:events';
import { afterEach, expect, test } from 'vitest';
import type { Source } from '../../ingest/source.ts';
import { type TcpClientOptions, tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { ManualClock } from '../support/manualClock.ts';
import { LinkLog } from './linkLog.ts';
import { Rig } from './rig.ts';

const open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const each of open.splice(0).reverse()) await each.close();
});

async function client(
  rig: Rig,
  options: Partial<TcpClientOptions> = {},
): Promise<{ source: Source; log: LinkLog; clock: ManualClock }> {
  const clock = new ManualClock();
  const log = new LinkLog();
  const source = tcpClientSource({ host: '127.0.0.1', port: rig.port, ...options }, clock);
  open.push(rig, source);
  await source.open(log);
  await rig.until((each) => each.sockets.length === 1);
  await log.until((each) => each.links.includes('connected'));
  return { source, log, clock };
}

test('bytes come with their arrival; nothing at all is written to the rig', async () => {
  const rig = await Rig.listen();
  const { source, log, clock } = await client(rig);
  rig.last.write('&&\r\n01081\r\n!!\r\n');
  await log.until((each) => each.text.endsWith('!!\r\n'));
  expect(log.arrivals[0]).toBe(clock.nowMs());
  clock.advance(29_000);
  await source.close();
  await once(rig.last, 'close');
  expect(rig.received).toBe('');
  expect(rig.last.bytesRead).toBe(0);
  expect(log.links).toEqual(['connecting', 'connected', 'ended']);
});

test('a rig that goes is waited for, longer each time up to the longest, and read again when it is back', async () => {
  const rig = await Rig.listen();
  const { log, clock } = await client(rig, { firstWaitMs: 500, longestWaitMs: 1500 });
  const { port } = rig;
  await rig.close();
  open.splice(open.indexOf(rig), 1);
  const waits: string[] = [];
  for (let lost = 1; lost <= 4; lost++) {
    await log.until((each) => each.links.filter((state) => state === 'lost').length === lost);
    waits.push(log.details.at(-1)!.replace(/.*next try in /, ''));
    if (lost < 4) clock.advance(1500);
  }
  expect(waits).toEqual(['0.5 s', '1 s', '1.5 s', '1.5 s']);
  const back = await Rig.listen(port);
  open.push(back);
  clock.advance(1500);
  await back.until((each) => each.sockets.length === 1);
  back.last.write('again');
  await log.until((each) => each.text === 'again');
  back.last.destroy();
  await log.until((each) => each.links.at(-1) === 'lost');
  expect(log.details.at(-1)).toMatch(/next try in 0.5 s$/);
});

test('a half-open rig is given up when it has been silent for too long, and connected to again', async () => {
  const rig = await Rig.listen();
  const { log, clock } = await client(rig, { silentAfterMs: 30_000 });
  clock.advance(20_000);
  rig.last.write('x');
  await log.until((each) => each.text === 'x');
  clock.advance(29_000);
  expect(log.links.at(-1)).toBe('connected');
  clock.advance(2000);
  expect(log.details).toContainEqual(expect.stringMatching(/nothing heard for 30 s/));
  await rig.until((each) => each.sockets.length === 2);
  expect(rig.received).toBe('');
});

test('polling, when it is asked for, sends its payload now and every so often, on each link', async () => {
  const rig = await Rig.listen();
  const { source, clock } = await client(rig, {
    poll: { everyMs: 30_000, payload: '&&\r\n0111-9999\r\n!!\r\n' },
    silentAfterMs: 1e9,
  });
  const one = '&&\r\n0111-9999\r\n!!\r\n';
  await rig.until((each) => each.received === one);
  clock.advance(29_999);
  clock.advance(1);
  await rig.until((each) => each.received === one + one);
  await source.close();
  clock.advance(100_000);
  await once(rig.last, 'close');
  expect(rig.received).toBe(one + one);
});

test('a port that cannot be is a fault', async () => {
  const clock = new ManualClock();
  await expect(tcpClientSource({ host: '127.0.0.1', port: 0 }, clock).open(new LinkLog())).rejects.toMatchObject({
    code: 'bad option',
  });
});

test('a connect that is not answered in time is given up', async () => {
  const clock = new ManualClock();
  const log = new LinkLog();
  const rig = await Rig.listen();
  const source = tcpClientSource({ host: '127.0.0.1', port: rig.port, connectTimeoutMs: 100 }, clock);
  open.push(rig, source);
  await source.open(log);
  // The clock runs out before the engine has had a turn to hear the answer.
  clock.advance(100);
  expect(log.links).toEqual(['connecting', 'lost']);
  expect(log.details[1]).toMatch(/no answer to the connect/);
});
