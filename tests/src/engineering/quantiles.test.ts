/** Quantiles against an independent library. */
import * as fc from 'fast-check';
import jStat from 'jstat';
import { describe, expect, it } from 'vitest';
import { normalQuantile, studentQuantile } from '../../../src/engineering/quantiles.ts';

const share = fc.double({ min: 0.0005, max: 0.9995, noNaN: true });

describe('quantiles agree with the library jstat', () => {
  it('normal, to eight digits', () => {
    fc.assert(
      fc.property(share, (p) => {
        expect(normalQuantile(p)).toBeCloseTo(jStat.normal.inv(p, 0, 1), 7);
      }),
    );
  });

  it('Student’s t, to seven digits of the value', () => {
    fc.assert(
      fc.property(share, fc.integer({ min: 1, max: 2000 }), (p, freedom) => {
        const theirs = jStat.studentt.inv(p, freedom);
        expect(Math.abs(studentQuantile(p, freedom) - theirs)).toBeLessThan(1e-6 * Math.max(1, Math.abs(theirs)));
      }),
    );
  });
});

it.each([
  // Exact: with one degree of freedom t is Cauchy's distribution, its quantile tan(π (p − ½)).
  [0.75, 1, 1],
  [0.975, 1, Math.tan(Math.PI * 0.475)],
  // Exact: with two, t = (2p − 1) √(2 / (1 − (2p − 1)²)).
  [0.9, 2, 0.8 * Math.sqrt(2 / 0.36)],
])('closed forms: %d with %d', (p, freedom, t) => {
  expect(studentQuantile(p, freedom)).toBeCloseTo(t, 9);
  expect(studentQuantile(1 - p, freedom)).toBeCloseTo(-t, 9);
});

it('far out in the tail, and with many degrees of freedom, the two meet', () => {
  expect(normalQuantile(1e-12)).toBeCloseTo(-7.0344838253, 8);
  expect(studentQuantile(0.975, 1e9)).toBe(normalQuantile(0.975));
  expect(studentQuantile(0.975, 1e6)).toBeCloseTo(normalQuantile(0.975), 5);
});
