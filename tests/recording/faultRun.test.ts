import { describe, expect, test } from 'vitest';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { faultRun } from './faultRun.ts';

/** `npm run torture -- --runs 2000` runs many more. */
const SEEDS = 60;

describe('a run that is recorded while everything goes wrong', () => {
  test(`keeps its promises for seeds 1 to ${SEEDS}`, { timeout: 300_000 }, async () => {
    const met = new Map<string, number>();
    const sum = {
      acknowledged: 0,
      refused: 0,
      entries: 0,
      crashes: 0,
      fromState: 0,
      damages: 0,
      marked: 0,
      whole: 0,
      expanded: 0,
    };
    for (let seed = 1; seed <= SEEDS; seed++) {
      const run = await faultRun(seed);
      met.set(run.mode, (met.get(run.mode) ?? 0) + 1);
      for (const name of ['acknowledged', 'refused', 'entries', 'crashes', 'fromState', 'damages', 'marked'] as const) {
        sum[name] += run[name];
      }
      if (run.uninterrupted && run.crashes > 0) sum.whole++;
      const { joints } = JSON.parse(run.record) as RunRecord;
      if (joints.some((joint) => joint.expanded > 0)) sum.expanded++;
    }
    // The seeds do meet what they are there for.
    expect([...met.keys()].sort()).toEqual(['failing', 'full', 'honest', 'mixed', 'rotting']);
    expect(Math.min(...Object.values(sum))).toBeGreaterThan(10);
  });

  test.each([2, 19, 58])('is the same when seed %d is run again', { timeout: 120_000 }, async (seed) => {
    expect(await faultRun(seed)).toEqual(await faultRun(seed));
  });
});
