/** Residual heave: what is left of a swell in the depth, and what is none. */
import { describe, expect, it } from 'vitest';
import { createHeave, heaveSigma, learnHeave, restartHeave } from '../../../src/pipeline/heave.ts';

/** σ after `seconds` of a depth that is asked for once a second. */
function sigmaOf(depth: (t: number) => number, seconds = 1200): number {
  const state = createHeave();
  for (let t = 0; t <= seconds; t += 1) learnHeave(state, t * 1000, depth(t));
  return heaveSigma(state, 0);
}

describe('residual heave', () => {
  it.each([
    [0.05, 9],
    [0.05, 12],
    [0.02, 10],
  ])('of a swell of ±%d m over %d s lies between its standard deviation and twice that', (amplitude, period) => {
    // The standard deviation of a sine is its amplitude ÷ √2; its median distance from the middle is the same.
    const sd = amplitude / Math.SQRT2;
    const sigma = sigmaOf((t) => 2400 + 0.015 * t + amplitude * Math.sin((2 * Math.PI * t) / period));
    expect(sigma).toBeGreaterThan(0.9 * sd);
    expect(sigma).toBeLessThan(2 * sd);
  });

  it('of an even feed, printed to a centimetre, is what the printing makes', () => {
    const sigma = sigmaOf((t) => Math.round((2400 + 0.0187 * t) * 100) / 100);
    expect(sigma).toBeLessThan(0.006);
  });

  it('is not made by a string that starts and stops', () => {
    let at = 2400;
    const sigma = sigmaOf((t) => {
      if (t % 600 < 540) at += 0.02;
      return at;
    }, 3600);
    expect(sigma).toBeLessThan(0.012);
  });

  it('is not made by running in, nor across a break', () => {
    expect(sigmaOf((t) => 1000 + 0.5 * t + 0.2 * Math.sin(t / 5))).toBe(0);
    const state = createHeave();
    for (let t = 0; t < 300; t += 1) {
      if (t % 50 === 0) restartHeave(state);
      learnHeave(state, t * 1000, 2400 + (t % 50 === 0 ? 30 : 0));
    }
    expect(heaveSigma(state, 0)).toBe(0);
  });

  it('leaves out what the readings have without any', () => {
    const state = createHeave();
    for (let t = 0; t <= 1200; t += 1) learnHeave(state, t * 1000, 2400 + (t % 2 === 0 ? 0.01 : -0.01));
    expect(heaveSigma(state, 0)).toBeGreaterThan(0.008);
    expect(heaveSigma(state, 0.02)).toBe(0);
  });
});
