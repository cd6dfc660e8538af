/** Two recipes whose windows overlap: the pressure that lies inside one of them alone tells whose work it is. */
import { describe, expect, it } from 'vitest';
import { createJointTally } from '../../../src/pipeline/jointTally.ts';
import { createWork, findWork } from '../../../src/pipeline/work.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';

/** The upper tool is in Z1 while the lower one is in S1; neither joint has been touched. */
const JOB = compileJob(
  planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    liner: {
      top: 1000,
      joints: [
        { name: 'Z1', kind: 'isolation', length: 6, expandFrom: 0.5, expandTo: 5.5 },
        { name: 'S1', kind: 'screen', length: 10, expandFrom: 0.5, expandTo: 9.5 },
      ],
    },
    // Whichever is looked at first wins a draw: that is the tool of the screens, so that no draw helps the other.
    tools: [
      { name: 'lower', offset: 1 },
      { name: 'upper', offset: 5 },
    ],
    recipes: {
      isolation: { tools: ['upper'], pressure: { min: 8000, max: 22000 }, rpm: { min: 15 } },
      screen: { tools: ['lower'], pressure: { min: 7500, max: 11000 }, rpm: { min: 15 } },
    },
  }),
);
const END_M = 1008;

/** What is at work at this pressure, given what was before. */
function atWork(pressure: number, before: 'Z1' | 'S1' | null): string | null {
  const work = createWork();
  const index = JOB.joints.findIndex(({ name }) => name === before);
  if (index >= 0) {
    work.joint = index;
    work.tool = JOB.joints[index]!.recipe!.tools[0]!;
  }
  const tallies = JOB.joints.map(() => createJointTally(2));
  const depths = JOB.tools.map(({ offsetM }) => END_M - offsetM);
  findWork(work, 0, JOB, tallies, depths, { standpipe: pressure, tool: Number.NaN }, 30);
  return JOB.joints[work.joint]?.name ?? null;
}

describe('whose work it is', () => {
  it.each([
    // pressure, kPa | at work before | at work now
    [7700, null, 'S1'], // in the window of the screens alone
    [7700, 'Z1', 'S1'],
    [15_000, null, 'Z1'], // in that of the isolation joints alone
    [15_000, 'S1', 'Z1'], // which is more than that the screen was at work before
    [15_000, 'Z1', 'Z1'],
    [9000, 'S1', 'S1'], // in both: what was at work stays at work
    [9000, 'Z1', 'Z1'],
    [9000, null, 'Z1'], // in both, from nothing: the higher of the two minimums that are reached
  ] as const)('%d kPa, before it %s: %s', (pressure, before, wanted) => {
    expect(atWork(pressure, before)).toBe(wanted);
  });
});
