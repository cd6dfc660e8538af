/** Median and MAD against published examples. */
import { medianAbsoluteDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { median, robustSigma, SIGMA_PER_MAD } from '../../../src/engineering/robust.ts';
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
});
