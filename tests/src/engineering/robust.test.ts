/** Median, MAD, outliers and Theil–Sen against published examples. */
import * as fc from 'fast-check';
import { medianAbsoluteDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  hampelOutliers,
  MOST_THEIL_SEN_POINTS,
  median,
  robustSigma,
  robustZ,
  SIGMA_PER_MAD,
  theilSen,
} from '../../../src/engineering/robust.ts';
import { seededNormal } from './seededNormal.ts';

describe('median absolute deviation', () => {
  it('encyclopaedia example, from memory: 1 1 2 2 4 6 9 has a MAD of 1', () => {
    expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1);
    expect(robustSigma([1, 1, 2, 2, 4, 6, 9])).toBe(SIGMA_PER_MAD);
  });

  it('printed normal tables, from memory: a quarter of a normal sample lies above 0.67448975 σ', () => {
    expect(SIGMA_PER_MAD * 0.67448975).toBeCloseTo(1, 8);
  });

  it('own: estimates the standard deviation of a seeded normal sample, one reading in ten wild', () => {
    const normal = seededNormal(3);
    const values = Array.from({ length: 4000 }, (_, i) => (i % 10 === 0 ? 1e4 : 50 + 2 * normal()));
    // A tenth of wild readings widens it to 1.17σ and no further.
    expect(robustSigma(values)).toBeGreaterThan(1.9);
    expect(robustSigma(values)).toBeLessThan(2.5);
    expect(median(values)).toBeGreaterThan(49.5);
    expect(median(values)).toBeLessThan(50.8);
    const clean = Array.from({ length: 4000 }, () => 50 + 2 * normal());
    expect(robustSigma(clean)).toBeGreaterThan(1.87);
    expect(robustSigma(clean)).toBeLessThan(2.13);
  });
});

describe('NIST/SEMATECH e-Handbook 1.3.5.17, from memory', () => {
  const values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
  it('median 201.37', () => expect(median(values)).toBeCloseTo(201.37, 10));
  it('MAD 0.995', () => expect(robustSigma(values) / SIGMA_PER_MAD).toBeCloseTo(0.995, 10));
  it('modified Z of 245.57 is 29.96, far above 3.5', () => expect(robustZ(values, 245.57)).toBeCloseTo(29.96, 2));
  it('no other value is above 3.5', () => {
    expect(values.filter((value) => Math.abs(robustZ(values, value)) > 3.5)).toEqual([245.57]);
  });
});

describe('Hampel', () => {
  it('own vector, rule of the R package pracma: one value of ten', () => {
    const values = [10, 10.1, 9.9, 10, 25, 10.1, 9.95, 10.05, 9.9, 10];
    expect(hampelOutliers(values, 3, 3)).toEqual([4]);
    const window = values.slice(1, 8);
    expect(median(window)).toBe(10.05);
    expect(robustSigma(window)).toBeCloseTo(0.07413, 5);
  });

  it('own: a value that differs from constant neighbours is one, a constant series has none', () => {
    expect(hampelOutliers([5, 5, 5, 6, 5, 5, 5], 3, 3)).toEqual([3]);
    expect(hampelOutliers([5, 5, 5, 5], 2, 3)).toEqual([]);
  });
});

describe('Theil–Sen, examples of the scipy tests', () => {
  const x = [1, 2, 3, 4, 10, 12, 18];
  const y = [9, 15, 19, 20, 45, 55, 78];

  it('slope 4, intercept 6 by the median residual, interval 3.71 to 4.38 at 93 %', () => {
    const fit = theilSen(x, y, 0.93)!;
    expect(fit.slope).toBe(4);
    expect(fit.intercept).toBe(6);
    expect(fit.interval.low).toBeCloseTo(3.71, 2);
    expect(fit.interval.high).toBeCloseTo(4.38, 2);
  });

  it('y 0 1 1: slope 0.5, intercept 0.0', () => {
    const fit = theilSen([0, 1, 2], [0, 1, 1], 0.95)!;
    expect([fit.slope, fit.intercept]).toEqual([0.5, 0]);
  });

  it('own: an eighth of wild readings leaves the slope of a line where it was', () => {
    fc.assert(
      fc.property(fc.double({ min: -5, max: 5, noNaN: true }), fc.integer({ min: 12, max: 40 }), (slope, n) => {
        const xs = Array.from({ length: n }, (_, i) => i);
        const ys = xs.map((at) => (at % 8 === 3 ? 1e6 : slope * at));
        expect(theilSen(xs, ys, 0.9)!.slope).toBeCloseTo(slope, 6);
      }),
    );
  });

  it('one x has no slope; more points than the limit are refused loudly', () => {
    expect(theilSen([2, 2, 2], [1, 2, 3], 0.9)).toBeNull();
    const many = Array.from({ length: MOST_THEIL_SEN_POINTS + 1 }, (_, i) => i);
    expect(() => theilSen(many, many, 0.9)).toThrow(/limit/);
  });
});
