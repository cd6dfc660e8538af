/** The figures of a joint's sweeps: of the part to be expanded alone, though the joint's ends are swept as well. */
import { describe, expect, it } from 'vitest';
import type { Segment } from '../../../src/pipeline/countStretch.ts';
import { addSweep, createSweep, type Sweep, settleAll, sweepUnseen } from '../../../src/pipeline/sweep.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';

/** S1 from 1000 to 1010, to be expanded from 1002 to 1007; one tool, at the end of the string. */
const JOB = compileJob(
  planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    liner: {
      top: 1000,
      joints: [
        { name: 'S1', kind: 'screen', length: 10, expandFrom: 2, expandTo: 7 },
        { name: 'B1', kind: 'blank', length: 5 },
      ],
    },
    tools: [{ name: 'lower', offset: 0 }],
    recipes: { screen: { tools: ['lower'], pressure: { min: 7500 } } },
  }),
);

/** One metre a minute from depth to depth; pressure on a straight line. */
function swept(fromDepth: number, toDepth: number, fromPressure = 9000, toPressure = fromPressure): Sweep {
  const sweep = createSweep(JOB);
  const segment: Segment = {
    fromMs: 0,
    toMs: Math.abs(toDepth - fromDepth) * 60_000,
    fromDepth,
    toDepth,
    fromPressure,
    toPressure,
    fromToolPressure: Number.NaN,
    toToolPressure: Number.NaN,
    fromRotation: 30,
    toRotation: 30,
    rolling: true,
    tooFast: 0,
    tooMuchPerTurn: 0,
  };
  addSweep(sweep, JOB, segment, toDepth - fromDepth, 0, [Number.NaN, Number.NaN]);
  settleAll(sweep, JOB);
  return sweep;
}

describe('a sweep over more than the part to be expanded', () => {
  it.each([
    // from | to | metres that count | the first and the last of them, minutes after the start
    [1000, 1010, 5, 2, 7],
    [1002, 1007, 5, 0, 5],
    [1004, 1009, 3, 0, 3], // out below the part, and still in the joint
    [1006, 1010, 1, 0, 1],
    [1001, 1003, 1, 1, 2], // in from above the part
    [995, 1020, 5, 7, 12],
  ])('from %d to %d m: %d m of it', (from, to, metres, startedMin, finishedMin) => {
    const tally = swept(from, to).tallies[0]!;
    expect(tally.sweptM).toBeCloseTo(metres, 9);
    expect(tally.feedM).toBeCloseTo(metres, 9);
    expect(tally.feedMinutes).toBeCloseTo(metres, 9);
    expect(tally.startedMs / 60_000).toBeCloseTo(startedMin, 9);
    expect(tally.finishedMs / 60_000).toBeCloseTo(finishedMin, 9);
    expect(tally.deepest).toEqual([Math.min(to, 1007)]);
    expect(tally.expanded).toEqual([Math.max(from, 1002), Math.min(to, 1007)]);
    expect([tally.swept, tally.passes]).toEqual([true, 1]);
  });

  it('takes its pressures at the ends of the part, on the line between the readings', () => {
    // 8000 kPa at 1000 m, 100 kPa more each metre: 8200 to 8700 over the part.
    const tally = swept(1000, 1010, 8000, 9000).tallies[0]!;
    expect(tally.pressureMin).toBeCloseTo(8200, 9);
    expect(tally.pressureMax).toBeCloseTo(8700, 9);
    expect(tally.pressureSum / tally.sweptM).toBeCloseTo(8450, 9);
  });
});

describe('a sweep beside the part to be expanded', () => {
  it.each([
    [1000, 1002],
    [1007, 1010],
    [1007.5, 1009],
    [1010, 1015],
  ])('from %d to %d m does not touch the joint, seen or unseen', (from, to) => {
    const unseen = createSweep(JOB);
    sweepUnseen(unseen, JOB, from, to);
    for (const { tallies } of [swept(from, to), unseen]) {
      expect(tallies[0]).toMatchObject({ swept: false, passes: 0, sweptM: 0, expanded: [], unseen: [], revision: 0 });
    }
  });
});

it('a stretch without data is unproven in the part to be expanded alone', () => {
  const sweep = createSweep(JOB);
  sweepUnseen(sweep, JOB, 1004, 1012);
  expect(sweep.tallies[0]).toMatchObject({ unseen: [1004, 1007], deepest: [1007], sweptM: 0, feedM: 0 });
});
