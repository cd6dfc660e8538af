import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { expect, test, vi } from 'vitest';
import { killTorture } from './killTorture.ts';
import { spoilStore } from './spoilStore.ts';

// A loaded machine: what takes seconds alone may take a minute.
vi.setConfig({ testTimeout: 180_000 });

const KILLS = 15;

test(`after ${KILLS} kills no acknowledged frame is lost, none is doubled, all are equal to the byte`, {
  timeout: 180_000,
}, async () => {
  await build({ configFile: fileURLToPath(new URL('vite.config.ts', import.meta.url)), logLevel: 'error' });
  const program = fileURLToPath(new URL('../../dist/torture/recordMain.js', import.meta.url));
  const { kills, frames, acknowledged } = await killTorture(program, KILLS, 7);
  expect(kills).toBe(KILLS);
  expect(acknowledged).toBeGreaterThan(100);
  expect(frames).toBeGreaterThanOrEqual(acknowledged);
});

test('every turned bit and every cut of a store file is named, and nothing false is read', async () => {
  expect(await spoilStore({ flips: 250, cuts: 80 }, 12)).toEqual({ flips: 250, cuts: 80 });
});
