import { describe, expect, test } from 'vitest';
import { simulate } from './faultSimulation.ts';

const SEEDS = 400;

describe('a recording on a disk that goes wrong', () => {
  test(`keeps its promises for seeds 1 to ${SEEDS}`, { timeout: 300_000 }, async () => {
    const met = new Map<string, number>();
    let refused = 0;
    let damages = 0;
    let holes = 0;
    for (let seed = 1; seed <= SEEDS; seed++) {
      const run = await simulate(seed);
      met.set(run.mode, (met.get(run.mode) ?? 0) + 1);
      refused += run.refused;
      damages += run.damages;
      holes += run.holes;
    }
    // The seeds do meet what they are there for.
    expect([...met.keys()].sort()).toEqual(['failing', 'full', 'honest', 'lying', 'mixed', 'rotting']);
    expect(Math.min(refused, damages, holes)).toBeGreaterThan(100);
  });

  test.each([3, 17, 101])('is the same to the byte when seed %d is run again', async (seed) => {
    expect((await simulate(seed)).files).toEqual((await simulate(seed)).files);
  });
});
