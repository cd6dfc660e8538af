/** The counts of a source that falls silent right after a burst: they come after it, by themselves, once. */
import { readFile } from 'node:fs/promises';
import { afterEach, expect, test } from 'vitest';
import type { Source, SourceHandlers } from '../../ingest/source.ts';
import { INGEST_EVERY_MS } from '../../server/live/deltaBuilder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { startService } from '../../server/service.ts';
import { LivePage } from '../support/livePage.ts';
import { ManualClock } from '../support/manualClock.ts';

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

/** The first `count` packets of the demo, and noise behind them. */
async function burst(count: number): Promise<Buffer[]> {
  const text = await readFile('replay-data/demo.wits', 'latin1');
  return text
    .split(/(?<=!!\r?\n)/)
    .slice(0, count)
    .map((packet) => Buffer.from(`${packet}noise\r\n`, 'latin1'));
}

test('after the burst the page gets the last counts, and then nothing more', async () => {
  const clock = new ManualClock();
  let rig: SourceHandlers | undefined;
  const source: Source = {
    name: 'a rig',
    open: async (handlers) => {
      rig = handlers;
      handlers.link('connected', '');
    },
    close: async () => {},
  };
  const { plan, job } = await readPlan('replay-data/demo-plan.json');
  const service = await startService({
    name: 'test run',
    plan,
    job,
    rate: 1,
    clock,
    source,
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  closers.push(() => service.close());
  await service.live.start();
  const page = await LivePage.open(`${service.url.replace('http', 'ws')}live`);
  closers.push(() => page.close());
  page.hello();
  await page.until((got) => got.length > 0);

  const packets = await burst(40);
  for (const packet of packets) rig!.bytes(packet, clock.nowMs());
  await expect.poll(() => service.live.ingest().frames).toBe(40);
  // One packet more, a moment later: too soon after the last counts to bring new ones along.
  clock.advance(50);
  rig!.bytes(Buffer.from('more noise\r\n'), clock.nowMs());
  await expect.poll(() => service.live.ingest().bytes).toBe(packets.join('').length + 12);
  clock.advance(50);
  const counts = () => page.got.flatMap(({ ingest }) => (ingest ? [ingest] : []));
  await page.until(() => page.deltas().some(({ rows }) => rows !== undefined));
  const last = service.live.ingest();
  expect(counts().at(-1)).not.toEqual(last);

  clock.advance(INGEST_EVERY_MS);
  await page.until(() => counts().at(-1)!.bytes === last.bytes);
  expect(counts().at(-1)).toEqual(last);
  expect(last.rejected.noise).toBeGreaterThan(0);

  const { seq } = service.hub.counts();
  clock.advance(10 * INGEST_EVERY_MS);
  expect(service.hub.counts().seq).toBe(seq);
});
