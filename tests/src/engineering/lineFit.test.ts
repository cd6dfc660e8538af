/** The straight line against certified values, an independent library, and what must hold for any points. */
import * as fc from 'fast-check';
import { linearRegression } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  addPoint,
  FEWEST_POINTS,
  fitLine,
  lineError,
  lineOf,
  NO_POINTS,
  slopeInterval,
  studentT,
} from '../../../src/engineering/lineFit.ts';
import { NORRIS_CERTIFIED, NORRIS_POINTS } from '../../fixtures/norris.ts';
import { seededNormal } from './seededNormal.ts';

const xs = NORRIS_POINTS.map(([, x]) => x);
const ys = NORRIS_POINTS.map(([y]) => y);
/** How many digits of a certified value are reproduced. */
const digits = (got: number, certified: number): number => -Math.log10(Math.abs(got / certified - 1) || 1e-16);

describe('NIST StRD Norris, 36 points, certified values', () => {
  const fit = fitLine(xs, ys)!;
  it.each([
    ['B0', fit.intercept, NORRIS_CERTIFIED.intercept, 12],
    ['standard deviation of B0', fit.interceptError, NORRIS_CERTIFIED.interceptError, 12],
    ['B1', fit.slope, NORRIS_CERTIFIED.slope, 13],
    ['standard deviation of B1', fit.slopeError, NORRIS_CERTIFIED.slopeError, 12],
    ['residual standard deviation', fit.residualSd, NORRIS_CERTIFIED.residualSd, 12],
    ['R²', fit.rSquared, NORRIS_CERTIFIED.rSquared, 14],
    ['F', (fit.slope / fit.slopeError) ** 2, NORRIS_CERTIFIED.fStatistic, 12],
  ])('%s', (_what, got, certified, wanted) => {
    expect(digits(got, certified)).toBeGreaterThan(wanted);
  });

  it('point by point as a stream is the same line', () => {
    let sums = NO_POINTS;
    for (const [y, x] of NORRIS_POINTS) sums = addPoint(sums, x, y);
    expect(lineOf(sums)).toEqual(fit);
  });

  it('own: agrees with the library simple-statistics', () => {
    const { m, b } = linearRegression(xs.map((x, i) => [x, ys[i]!]));
    expect(fit.slope).toBeCloseTo(m, 12);
    expect(fit.intercept).toBeCloseTo(b, 10);
  });
});

describe('interval of the slope', () => {
  it.each([
    [0.95, 1, 12.706],
    [0.95, 10, 2.228],
    [0.95, 34, 2.032],
    [0.99, 5, 4.032],
    [0.95, 1e6, 1.96],
  ])("printed tables of Student's t, from memory: %d with %d degrees of freedom", (confidence, freedom, t) => {
    expect(studentT(confidence, freedom)).toBeCloseTo(t, 3);
  });

  it('own: holds the true slope in about 95 % of 2,000 seeded samples of normal noise', () => {
    const normal = seededNormal(20);
    let held = 0;
    for (let run = 0; run < 2000; run += 1) {
      let sums = NO_POINTS;
      for (let x = 0; x < 8; x += 1) sums = addPoint(sums, x, 3 - 0.7 * x + normal());
      const { low, high } = slopeInterval(lineOf(sums)!, 0.95);
      if (low <= -0.7 && -0.7 <= high) held += 1;
    }
    // Binomial: 0.95 ± 4 standard errors of 0.0049.
    expect(held / 2000).toBeGreaterThan(0.93);
    expect(held / 2000).toBeLessThan(0.97);
  });

  it('own: the line is surest at the mean of x, where its error is that of a mean', () => {
    const fit = fitLine(xs, ys)!;
    expect(lineError(fit, fit.meanX)).toBeCloseTo(fit.residualSd / 6, 12);
    expect(lineError(fit, 0)).toBeCloseTo(fit.interceptError, 12);
  });
});

const value = fc.double({ min: -1e3, max: 1e3, noNaN: true });

describe('any points', () => {
  it('on a line give that line, with times in milliseconds since 1970 too', () => {
    const start = fc.constantFrom(0, 1.9e12);
    fc.assert(
      fc.property(value, value, start, fc.integer({ min: 3, max: 50 }), (slope, height, from, n) => {
        const steps = Array.from({ length: n }, (_, i) => i);
        const fit = fitLine(
          steps.map((i) => from + 1000 * i),
          steps.map((i) => height + slope * i),
        )!;
        expect(fit.slope * 1000).toBeCloseTo(slope, 6);
        expect(fit.residualSd).toBeLessThan(1e-4 * (1 + Math.abs(slope)));
      }),
    );
  });

  it('a weight of two is the same point twice for the line itself', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(value, value, fc.integer({ min: 1, max: 4 })), { maxLength: 20 }), (points) => {
        let weighted = NO_POINTS;
        let repeated = NO_POINTS;
        for (const [x, y, weight] of points) {
          weighted = addPoint(weighted, x, y, weight);
          for (let i = 0; i < weight; i += 1) repeated = addPoint(repeated, x, y);
        }
        const [a, b] = [lineOf(weighted), lineOf(repeated)];
        if (a === null || b === null || weighted.xx < 1e-3) return;
        expect(a.slope).toBeCloseTo(b.slope, 5);
        // Where y hardly differs, its spread is rounding, and so is the share of it that the line explains.
        if (weighted.yy >= 1e-3) expect(a.rSquared).toBeCloseTo(b.rSquared, 5);
      }),
    );
  });

  it('have residuals that are those of the line, point by point', () => {
    const weight = fc.integer({ min: 1, max: 9 });
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.integer({ min: -50, max: 50 }), value, weight), { maxLength: 30 }), (points) => {
        let sums = NO_POINTS;
        for (const [x, y, w] of points) sums = addPoint(sums, x, y, w);
        const fit = lineOf(sums);
        if (fit === null) return;
        const squares = points.reduce((sum, [x, y, w]) => sum + w * (y - fit.intercept - fit.slope * x) ** 2, 0);
        expect(sums.residuals).toBeCloseTo(squares, 4);
      }),
    );
  });

  it('weights count by their ratio only', () => {
    const weights = xs.map((_, i) => 1 + (i % 3));
    const a = fitLine(xs, ys, weights)!;
    const b = fitLine(
      xs,
      ys,
      weights.map((weight) => weight * 7),
    )!;
    expect(b.slopeError).toBeCloseTo(a.slopeError, 12);
    expect(b.residualSd).toBeCloseTo(a.residualSd, 12);
  });

  it(`fewer than ${FEWEST_POINTS}, or all at one x, give no line`, () => {
    expect(fitLine([1, 2], [1, 2])).toBeNull();
    expect(fitLine([3, 3, 3], [1, 2, 3])).toBeNull();
    expect(fitLine([], [])).toBeNull();
  });

  it('readings that are no number, and weights that are none, change nothing', () => {
    const sums = addPoint(NO_POINTS, 1, 2);
    for (const [x, y, weight] of [
      [Number.NaN, 1, 1],
      [1, Number.POSITIVE_INFINITY, 1],
      [1, 1, 0],
      [1, 1, Number.NaN],
    ] as const) {
      expect(addPoint(sums, x, y, weight)).toBe(sums);
    }
  });
});
