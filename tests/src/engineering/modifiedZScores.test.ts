import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { modifiedZScores, OUTLIER_SCORE } from '../../../src/engineering/robust.ts';

it('NIST/SEMATECH e-Handbook 1.3.5.17, from memory: of eight values the rule of Iglewicz and Hoaglin labels 245.57', () => {
  const values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
  const scores = modifiedZScores(values);
  expect(scores.map((score) => Math.abs(score) > OUTLIER_SCORE)).toEqual([...new Array(7).fill(false), true]);
  // By hand: 0.6745 × (245.57 − 201.37) / 0.995, and the first: 0.6745 × (199.31 − 201.37) / 0.995.
  expect(scores[7]).toBeCloseTo(29.963, 2);
  expect(scores[0]).toBeCloseTo(-1.396, 2);
});

it('where more than half are one, the mean deviation stands in: by hand', () => {
  // Median 0, MAD 0, mean deviation 10 / 10 = 1.
  const scores = modifiedZScores([0, 0, 0, 0, 0, 0, 0, 0, 0, 10]);
  expect(scores[9]).toBeCloseTo(10 / 1.253314, 6);
  expect(scores[0]).toBe(0);
  expect(modifiedZScores([3, 3, 3])).toEqual([0, 0, 0]);
});

it('does not depend on unit or zero, and turns its sign with the values', () => {
  const values = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 40 });
  fc.assert(
    fc.property(values, fc.integer({ min: 1, max: 20 }), fc.integer({ min: -50, max: 50 }), (given, scale, zero) => {
      const scores = modifiedZScores(given);
      const other = modifiedZScores(given.map((value) => value * scale + zero));
      const turned = modifiedZScores(given.map((value) => -value));
      for (let i = 0; i < scores.length; i += 1) {
        expect(other[i]).toBeCloseTo(scores[i]!, 9);
        expect(turned[i]! + scores[i]!).toBeCloseTo(0, 9);
      }
    }),
  );
});
