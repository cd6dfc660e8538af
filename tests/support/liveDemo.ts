/** A service on a port that is fed the demo stream by the test, packet by packet. */
import { readFileSync } from 'node:fs';
import { onTestFinished, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import type { Source, SourceHandlers } from '../../ingest/source.ts';
import { planFrom, readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, type ServiceOptions, startService } from '../../server/service.ts';
import type { Plan } from '../../src/plan/planSchema.ts';

export interface LiveDemo {
  readonly at: Service;
  readonly packets: readonly string[];
  /** Sends the packets before this one that were not sent yet, and waits until they are worked in. */
  readonly upTo: (packet: number) => Promise<void>;
  readonly get: (path: string) => Promise<Response>;
  readonly post: (path: string, body: unknown) => Promise<Response>;
}

/** @param changed what of the plan is another */
export async function liveDemo(
  options: Partial<ServiceOptions> = {},
  changed: (plan: Plan) => Plan = (plan) => plan,
): Promise<LiveDemo> {
  const { plan } = await readPlan('replay-data/demo-plan.json');
  let handlers: SourceHandlers | undefined;
  const source: Source = {
    name: 'rig',
    async open(given) {
      handlers = given;
    },
    async close() {},
  };
  const at = await startService({
    ...planFrom('the plan', changed(plan)),
    name: 'test run',
    rate: 1,
    clock: systemClock,
    source,
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    secretCost: { N: 1024, r: 8, p: 1 },
    ...options,
  });
  onTestFinished(() => at.close());
  await at.live.start();
  const packets = readFileSync('replay-data/demo.wits', 'latin1').split(/(?<=!!\r?\n)/);
  let sent = 0;
  return {
    at,
    packets,
    async upTo(packet) {
      const bytes = Buffer.from(packets.slice(sent, packet).join(''), 'latin1');
      const until = at.live.ingest().bytes + bytes.length;
      sent = Math.max(sent, packet);
      handlers!.bytes(bytes, systemClock.nowMs());
      await vi.waitUntil(() => at.live.ingest().bytes >= until, { timeout: 20_000 });
    },
    get: (path) => fetch(`${at.url}${path.slice(1)}`),
    post: (path, body) =>
      fetch(`${at.url}${path.slice(1)}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: typeof body === 'string' ? body : JSON.stringify(body),
      }),
  };
}
