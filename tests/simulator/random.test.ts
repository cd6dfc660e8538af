import { expect, test } from 'vitest';
import { seededRandom } from '../../ingest/simulator/random.ts';

const draw = (seed: number, count: number) => {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => random.next());
};

test('one seed always gives the same numbers, another seed others', () => {
  expect(draw(1, 50)).toEqual(draw(1, 50));
  expect(draw(1, 5)).not.toEqual(draw(2, 5));
});

test('even numbers have the mean and spread of an even distribution, normal ones those of a normal', () => {
  const random = seededRandom(3);
  const count = 50_000;
  let sum = 0;
  let normalSum = 0;
  let normalSquares = 0;
  for (let i = 0; i < count; i++) {
    const even = random.next();
    expect(even >= 0 && even < 1).toBe(true);
    sum += even;
    const normal = random.normal();
    normalSum += normal;
    normalSquares += normal * normal;
  }
  expect(sum / count).toBeCloseTo(0.5, 1);
  expect(normalSum / count).toBeCloseTo(0, 1);
  expect(normalSquares / count).toBeCloseTo(1, 1);
});

test('whole numbers take both ends', () => {
  const random = seededRandom(4);
  const seen = new Set(Array.from({ length: 200 }, () => random.whole(2, 5)));
  expect([...seen].sort()).toEqual([2, 3, 4, 5]);
});
