import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { serveKills } from './serveKills.ts';

const program = fileURLToPath(new URL('../../bin/jointwise.mjs', import.meta.url));

test('a service that is killed while it records gives the record of one that is not', async () => {
  const told = await serveKills({
    program,
    plan: 'replay-data/demo-plan.json',
    stream: 'replay-data/demo.wits',
    kills: 5,
    seed: 4,
  });
  expect(told.bytes).toBeGreaterThan(1_000_000);
}, 120_000);
