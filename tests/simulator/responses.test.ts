import { expect, test } from 'vitest';
import { lagged, ramped } from '../../ingest/simulator/responses.ts';

test('a lag goes 63.2 % of the way in one time constant, however it is cut into steps', () => {
  expect(lagged(0, 100, 2, 2)).toBeCloseTo(63.212, 3);
  let value = 0;
  for (let i = 0; i < 20; i++) value = lagged(value, 100, 0.1, 2);
  expect(value).toBeCloseTo(63.212, 3);
});

test('a ramp goes no faster than its rate and stops on its target', () => {
  expect(ramped(0, 100, 0.5, 60)).toBe(30);
  expect(ramped(0, -100, 0.5, 60)).toBe(-30);
  expect(ramped(90, 100, 0.5, 60)).toBe(100);
});
