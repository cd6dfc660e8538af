/** How fine a reading is: its printed step and its noise, learnt from the stream. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  createJitter,
  createResolution,
  jitterSigma,
  learnJitter,
  learnResolution,
  restartJitter,
} from '../../../src/pipeline/resolution.ts';

function stepOf(values: readonly number[]): number {
  const state = createResolution();
  for (const value of values) learnResolution(state, value);
  return state.step;
}
const run = (count: number, perSample: number, start: number): number[] =>
  Array.from({ length: count }, (_, i) => start + i * perSample);
const printed = (values: readonly number[], step: number): number[] => values.map((v) => Math.round(v / step) * step);
const metresOf = (feet: number): number => feet * 0.3048;

describe('the printed step', () => {
  it.each([
    ['0.01 m', 0.01, 0.01],
    ['0.1 m', 0.1, 0.1],
    ['0.5 m', 0.5, 0.5],
    ['0.1 ft', 0.03048, 0.03048],
    ['0.01 ft', 0.003048, 0.003048],
    ['1 mm', 0.001, 0.001],
  ])('of readings printed to %s', (_name, step, wanted) => {
    fc.assert(
      fc.property(fc.double({ min: 800, max: 3000, noNaN: true }), (start) => {
        expect(stepOf(printed(run(300, 0.0173, start), step))).toBe(wanted);
      }),
      { numRuns: 30 },
    );
  });

  it('of tenths of a foot that were converted and printed to a hundredth of a metre', () => {
    const feet = printed(run(300, 0.06, 7906), 0.1);
    expect(stepOf(feet.map((ft) => Math.round(metresOf(ft) * 100) / 100))).toBe(0.03048);
  });

  it('is not made finer by one odd reading', () => {
    const values = printed(run(100, 0.02, 1000), 0.1);
    values[50] = 1000.1234;
    expect(stepOf(values)).toBe(0.1);
  });

  it('is unknown before the first reading', () => {
    expect(createResolution().step).toBeNaN();
  });
});

describe('the noise', () => {
  /** Deterministic normal noise: Box and Muller on a linear congruential sequence (Numerical Recipes constants, from memory). */
  function normals(count: number): number[] {
    let seed = 12345;
    const next = (): number => {
      seed = (1664525 * seed + 1013904223) >>> 0;
      return (seed + 0.5) / 2 ** 32;
    };
    return Array.from({ length: count }, () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next()));
  }

  function sigmaOf(values: readonly number[]): number {
    const state = createJitter();
    values.forEach((value, i) => void learnJitter(state, i * 1000, value, 1));
    return jitterSigma(state);
  }

  it('of an even movement without noise is nothing, however fast it is', () => {
    expect(sigmaOf(run(100, 0.05, 1000))).toBeLessThan(1e-9);
  });

  it('of an even movement is nothing where the frames come unevenly', () => {
    const state = createJitter();
    for (let i = 0, s = 0; i < 200; i += 1, s += 1 + (i % 2)) learnJitter(state, s * 1000, 1000 + 0.02 * s, 1);
    expect(jitterSigma(state)).toBeLessThan(1e-9);
  });

  it('of sigma 0.02 m is found to a third where the frames come unevenly', () => {
    const state = createJitter();
    const noise = normals(400);
    for (let i = 0, s = 0; i < 400; i += 1, s += 1 + (i % 2))
      learnJitter(state, s * 1000, 1000 + 0.02 * s + 0.02 * noise[i]!, 1);
    expect(Math.abs(jitterSigma(state) - 0.02)).toBeLessThan(0.02 / 3);
  });

  it.each([0.005, 0.02])('of sigma %f m on an even movement is found to a third', (sigma) => {
    const noise = normals(400);
    const found = sigmaOf(run(400, 0.02, 1000).map((v, i) => v + sigma * noise[i]!));
    expect(found / sigma).toBeGreaterThan(0.67);
    expect(found / sigma).toBeLessThan(1.5);
  });

  it('is hardly lifted by one spike, and not by a jump after a break', () => {
    const state = createJitter();
    run(200, 0.02, 1000).forEach((value, i) => void learnJitter(state, i * 1000, value, 0.1));
    learnJitter(state, 200_000, 5000, 0.1);
    expect(jitterSigma(state)).toBeLessThan(0.01);
    const fresh = createJitter();
    run(50, 0.02, 1000).forEach((value, i) => void learnJitter(fresh, i * 1000, value, 0.1));
    restartJitter(fresh);
    run(50, 0.02, 2000).forEach((value, i) => void learnJitter(fresh, 90_000 + i * 1000, value, 0.1));
    expect(jitterSigma(fresh)).toBeLessThan(1e-9);
  });
});
