import fc from 'fast-check';
import { expect, test } from 'vitest';
import { niceRange, stepDecimals, ticksWithin } from '../../../src/sheet/niceTicks.ts';

test('a range holds its values, begins and ends at a tick, and has few of them', () => {
  const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(fc.array(value, { minLength: 1, maxLength: 20 }), fc.integer({ min: 2, max: 12 }), (values, most) => {
      const { from, to, step } = niceRange(values, most);
      const slack = 1e-6 * step;
      expect(from).toBeLessThanOrEqual(Math.min(...values) + slack);
      expect(to).toBeGreaterThanOrEqual(Math.max(...values) - slack);
      const ticks = ticksWithin(from, to, step);
      expect(ticks[0]).toBeCloseTo(from, 6);
      expect(ticks.at(-1)).toBeCloseTo(to, 6);
      expect(ticks.length).toBeLessThanOrEqual(most + 2);
    }),
  );
});

test.each([
  [[0, 7500, 11000], 3, { from: 0, to: 15000, step: 5000 }],
  [[2450.1, 2461.5], 12, { from: 2450, to: 2462, step: 1 }],
  [[5, 5], 2, { from: 4.5, to: 5.5, step: 0.5 }],
  [[Number.NaN], 4, { from: 0, to: 1, step: 1 }],
])('of %j with %i ticks', (values, most, expected) => {
  expect(niceRange(values, most)).toEqual(expected);
});

test.each([
  [0.25, 2],
  [0.5, 1],
  [2500, 0],
  [0.002, 3],
])('a step of %d is written with %i decimals', (step, decimals) => {
  expect(stepDecimals(step)).toBe(decimals);
});
