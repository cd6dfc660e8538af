/** 1σ of an expanded length, and the verdicts that it leaves open. */
import { describe, expect, it } from 'vitest';
import { couldBeOf, lengthSigmaM } from '../../../src/pipeline/lengthSigma.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import { outcomeOf } from '../../../src/record/verdict.ts';
import { type Played, playTable, scenarioPlan } from './scenario.ts';

/** S1 is to be expanded over 4 m: the end of the string from 1015.5 to 1019.5. A stretch of low pressure is left open in it. */
const withGap = (fromS: number, toS: number): string => `
    t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase  event
      0   900     9000   30    22.00  1014.00          790 | -      -
     60   900     9000   30    20.80  1015.20          790 | -      -
   ${String(fromS).padStart(4)}   900     9000   30    ${(22 - fromS * 0.02).toFixed(2)}  ${(1014 + fromS * 0.02).toFixed(2)}          790 | -      -
   ${String(fromS + 1).padStart(4)}   900     5000   30    ${(22 - (fromS + 1) * 0.02).toFixed(2)}  ${(1014 + (fromS + 1) * 0.02).toFixed(2)}          790 | -      -
   ${String(toS).padStart(4)}   900     5000   30    ${(22 - toS * 0.02).toFixed(2)}  ${(1014 + toS * 0.02).toFixed(2)}          790 | -      -
   ${String(toS + 1).padStart(4)}   900     9000   30    ${(22 - (toS + 1) * 0.02).toFixed(2)}  ${(1014 + (toS + 1) * 0.02).toFixed(2)}          790 | -      -
    300   900     9000   30    16.00  1020.00          790 | -      -`;

const planWith = (acceptance: Plan['acceptance']): Plan => ({ ...scenarioPlan(), acceptance });
function ofS1({ run }: Played) {
  const joint = run.job.joints.find((one) => one.name === 'S1')!;
  const outcome = outcomeOf(run.job, joint, run.sweep.tallies[joint.index]!, run.toolDepths);
  return { sigma: lengthSigmaM(run, joint, outcome), couldBe: couldBeOf(run, joint, outcome), outcome };
}

describe('1σ of an expanded length', () => {
  it('is that of the two ends where nothing is left open, and more with a gap', () => {
    const whole = ofS1(playTable(withGap(298, 299)));
    expect(whole.outcome.expandedM).toBeCloseTo(4, 2);
    // Two ends read to a centimetre: √2 × 0.01/√12 and the noise, at least.
    expect(whole.sigma).toBeGreaterThan(0.004);
    expect(whole.sigma).toBeLessThan(0.03);
    const open = ofS1(playTable(withGap(150, 180)));
    expect(open.outcome.expandedM).toBeCloseTo(3.4, 1);
    expect(open.sigma).toBeGreaterThan(whole.sigma);
    expect(open.sigma).toBeLessThan(0.06);
  });

  it('does not grow with the depth of the joint: what both ends share goes out', () => {
    const near = ofS1(playTable(withGap(150, 180)));
    // The untagged depth itself is unsure by 0.7 m there.
    expect(near.sigma).toBeLessThan(0.1);
  });

  it('is 0 where nothing is expanded, and nothing is left open there', () => {
    const { run } = playTable(withGap(150, 180));
    const joint = run.job.joints.find((one) => one.name === 'S2')!;
    const outcome = outcomeOf(run.job, joint, run.sweep.tallies[joint.index]!, run.toolDepths);
    expect(outcome.verdict).toBe('not reached');
    expect(lengthSigmaM(run, joint, outcome)).toBe(0);
    expect(couldBeOf(run, joint, outcome)).toEqual([]);
    const blank = run.job.joints.find((one) => one.name === 'B1')!;
    expect(couldBeOf(run, blank, outcomeOf(run.job, blank, run.sweep.tallies[blank.index]!, run.toolDepths))).toEqual(
      [],
    );
  });
});

describe('what a verdict could be', () => {
  // The gap of 0.6 m leaves 0.85 of the joint.
  it.each([
    [{ coverage: 0.8, longestGap: 1 }, 'expanded', []],
    [{ coverage: 0.97, longestGap: 0.3 }, 'short', []],
    [{ coverage: 0.852, longestGap: 1 }, 'short', ['expanded']],
    [{ coverage: 0.847, longestGap: 1 }, 'expanded', ['short']],
    [{ coverage: 0.8, longestGap: 0.595 }, 'short', ['expanded']],
    [{ coverage: 0.8, longestGap: 0.62 }, 'expanded', ['short']],
    [{ coverage: 0.97, longestGap: 0.595 }, 'short', []],
  ] as const)('with %o: %s, could be %o', (acceptance, verdict, couldBe) => {
    const { outcome, sigma, couldBe: found } = ofS1(playTable(withGap(150, 180), [], planWith(acceptance)));
    expect(outcome.longestGap).toBeGreaterThan(0.58);
    expect(outcome.longestGap).toBeLessThan(0.63);
    expect(outcome.verdict).toBe(verdict);
    expect(found, `gap ${outcome.longestGap} m, 1σ ${sigma} m`).toEqual(couldBe);
  });
});
