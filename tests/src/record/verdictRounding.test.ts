/**
 * Acceptance is judged as a person would with the figures in decimals: a bound that they meet exactly is met, however the
 * binary sums of many joints and stretches fall; a millimetre more is a millimetre too much.
 */
import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { createJointTally, tallyExpanded } from '../../../src/pipeline/jointTally.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { outcomeOf } from '../../../src/record/verdict.ts';

const PERCENT = [90, 95, 97, 99];
/** Depths in mm; the length to be expanded is whole decimetres, so that each percent of it is whole millimetres. */
const caseOf = fc.record({
  topMm: fc.integer({ min: 1_000_000, max: 6_000_000 }),
  joints: fc.integer({ min: 0, max: 8 }),
  jointMm: fc.integer({ min: 3000, max: 12_900 }),
  fromMm: fc.integer({ min: 0, max: 900 }),
  lengthDm: fc.integer({ min: 50, max: 120 }),
  percent: fc.constantFrom(...PERCENT),
  /** Where the missing stretch begins, as a share of what is left. */
  place: fc.double({ min: 0, max: 1, noNaN: true }),
});
type Case = typeof caseOf extends fc.Arbitrary<infer T> ? T : never;

/** The verdict with a hole of `holeMm` in the joint, of which the plan allows `allowedMm` at a stretch. */
function verdictWith(one: Case, holeMm: number, allowedMm: number): string {
  const { topMm, joints, jointMm, fromMm, lengthDm, percent, place } = one;
  const lengthMm = lengthDm * 100;
  const blanks = Array.from({ length: joints }, (_, i) => ({ name: `B${i}`, kind: 'blank', length: jointMm / 1000 }));
  const screen = {
    name: 'S1',
    kind: 'screen',
    length: (fromMm + lengthMm + 500) / 1000,
    expandFrom: fromMm / 1000,
    expandTo: (fromMm + lengthMm) / 1000,
  };
  const job = compileJob(
    planSchema.parse({
      format: 'jointwise-plan/1',
      units: 'metric',
      liner: { top: topMm / 1000, joints: [...blanks, screen] },
      tools: [{ name: 'lower', offset: 1 }],
      recipes: { screen: { tools: ['lower'], pressure: { min: 7500 } } },
      acceptance: { coverage: percent / 100, longestGap: allowedMm / 1000 },
    }),
  );
  const joint = job.joints.at(-1)!;
  const startMm = topMm + joints * jointMm + fromMm;
  const holeFrom = startMm + Math.round(place * (lengthMm - holeMm));
  const tally = createJointTally(1);
  tally.swept = true;
  tallyExpanded(tally, startMm / 1000, holeFrom / 1000);
  tallyExpanded(tally, (holeFrom + holeMm) / 1000, (startMm + lengthMm) / 1000);
  return outcomeOf(job, joint, tally, [job.joints[0]!.top - 100]).verdict;
}
const spare = ({ lengthDm, percent }: Case): number => lengthDm * (100 - percent);

it('exactly the coverage that is asked is enough, a millimetre less is not', () => {
  fc.assert(
    fc.property(caseOf, (one) => {
      expect(verdictWith(one, spare(one), 100_000)).toBe('expanded');
      expect(verdictWith(one, spare(one) + 1, 100_000)).toBe('short');
    }),
    { numRuns: 300 },
  );
});

it('a gap of exactly the longest that is allowed is allowed, a millimetre more is not', () => {
  fc.assert(
    fc.property(caseOf, fc.integer({ min: 10, max: 500 }), (one, gapMm) => {
      const lax = { ...one, percent: 1 };
      expect(verdictWith(lax, gapMm, gapMm)).toBe('expanded');
      expect(verdictWith(lax, gapMm + 1, gapMm)).toBe('short');
    }),
    { numRuns: 300 },
  );
});
