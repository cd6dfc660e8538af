/** How long still: a range from what the run has shown, held against trips whose end is known. */
import { describe, expect, it } from 'vitest';
import type { ScenarioInput } from '../../../ingest/simulator/scenario.ts';
import { simulateTrip } from '../../../ingest/simulator/simulateTrip.ts';
import { emptySample } from '../../../src/channels.ts';
import { finishNow } from '../../../src/pipeline/pace.ts';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import { longPlan, testPlan, testScenario } from '../../support/trips.ts';
import { play, rolling } from './scene.ts';

interface Told {
  atMs: number;
  fromMs: number;
  toMs: number;
}

/** Plays a simulated trip; what was told of the trip's end every five minutes, and when the last metre was done. */
function told(
  plan: Plan,
  seed: number,
  input: Partial<ScenarioInput> = {},
): { told: Told[]; doneMs: number; run: Run } {
  const { readings } = simulateTrip(testScenario(seed, input), plan);
  const run = createRun(compileJob(plan));
  const all: Told[] = [];
  let doneMs = Number.NaN;
  readings.forEach((reading, i) => {
    const { setDown: _s, feed: _f, inSlips: _i, ...values } = reading;
    advance(run, { kind: 'sample', sample: { ...emptySample(reading.sourceMs, reading.sourceMs), ...values } });
    const { trip } = finishNow(run);
    if (trip && i % 300 === 0) all.push({ atMs: reading.sourceMs, ...trip });
    if (run.work.joint >= 0 && run.work.newGround) doneMs = reading.sourceMs;
  });
  return { told: all, doneMs, run };
}

/** Drillers and rigs unlike each other, and trouble on the way. */
const MANNERS: readonly Partial<ScenarioInput>[] = [
  {},
  { driller: { feed: { isolation: 0.6, screen: 0.7 } }, rig: { standLength: 18.6, blockStart: 9 } },
  { driller: { crossing: 'pressure kept' }, rig: { blockStart: 12 } },
  {
    incidents: [
      { kind: 'stall', joint: 'S2', into: 4, seconds: 120 },
      { kind: 'stall', joint: 'S4', into: 6, seconds: 90 },
    ],
  },
];

describe('the finish of the trip', () => {
  it('is told as a range that holds it most of the time, and gets narrower', () => {
    let inside = 0;
    let count = 0;
    for (const [i, input] of MANNERS.entries()) {
      const { told: all, doneMs } = told(longPlan(6), i + 1, input);
      expect(all.length).toBeGreaterThan(8);
      for (const { fromMs, toMs } of all) {
        count += 1;
        if (fromMs <= doneMs && doneMs <= toMs) inside += 1;
      }
      const width = ({ fromMs, toMs }: Told) => toMs - fromMs;
      expect(width(all.at(-1)!)).toBeLessThan(width(all[0]!));
    }
    // The 10th to the 90th percentile: eight in ten, and the ranges of one trip hang together.
    expect(inside / count).toBeGreaterThan(0.6);
  }, 60_000);

  it('is null once nothing is left', () => {
    expect(finishNow(told(testPlan(), 1).run)).toEqual({ joint: null, trip: null });
  });
});

describe('the finish of the joint', () => {
  it('is not told before three metres have been rolled', () => {
    expect(finishNow(play({ seconds: 76 + 100, at: rolling }))).toEqual({ joint: null, trip: null });
    expect(finishNow(play({ seconds: 76 + 165, at: rolling })).joint).not.toBeNull();
  });

  it('is what is left at the feed so far', () => {
    const run = play({ seconds: 246, at: rolling });
    const { joint, trip } = finishNow(run);
    // Done when the end of the string is at 1019.5 m: at 275 s.
    expect(joint!.fromMs).toBeLessThanOrEqual(276_000);
    expect(joint!.toMs).toBeGreaterThanOrEqual(274_000);
    expect(joint!.toMs - joint!.fromMs).toBeLessThan(60_000);
    expect(trip!.toMs).toBeGreaterThan(joint!.toMs);
  });

  it('asking changes nothing', () => {
    const run = play({ seconds: 246, at: rolling });
    const before = JSON.stringify(run.pace);
    expect(finishNow(run)).toEqual(finishNow(run));
    expect(JSON.stringify(run.pace)).toBe(before);
  });
});
