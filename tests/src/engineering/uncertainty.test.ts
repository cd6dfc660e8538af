/** Parts of an uncertainty put together, and what goes out of a difference. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  depthSigma,
  lengthSigma,
  type Platform,
  quantisationSigma,
  rootSumSquare,
  untaggedDepth,
} from '../../../src/engineering/uncertainty.ts';

describe('quantisation, GUM 4.3.7 from memory: u = q / √12', () => {
  it.each([
    ['0.1 ft', 0.1, 0.0289],
    ['0.01 m', 0.01, 0.0029],
    ['1 klbf', 1, 0.2887],
  ])('a step of %s', (_step, step, sigma) => expect(quantisationSigma(step)).toBeCloseTo(sigma, 4));

  it('own: is the standard deviation of an even spread over one step', () => {
    const n = 10_000;
    let squares = 0;
    for (let i = 0; i < n; i += 1) squares += ((i + 0.5) / n - 0.5) ** 2;
    expect(quantisationSigma(1)).toBeCloseTo(Math.sqrt(squares / n), 6);
  });
});

describe('GUM H.1 end gauge, from memory; the guide prints rounded up', () => {
  const NANOMETRES = [25, 9.7, 2.9, 16.6] as const;
  it('25, 9.7, 2.9 and 16.6 nm make 32 nm', () => {
    expect(rootSumSquare(...NANOMETRES)).toBeCloseTo(31.67, 2);
    expect(Math.ceil(rootSumSquare(...NANOMETRES))).toBe(32);
  });
  it('with the second-order terms 11.7 and 1.7: 34 nm', () => {
    expect(rootSumSquare(...NANOMETRES, 11.7, 1.7)).toBeCloseTo(33.81, 2);
    expect(Math.ceil(rootSumSquare(...NANOMETRES, 11.7, 1.7))).toBe(34);
  });
  it('u(d) from 5.8, 3.9 and 6.7 is 9.7', () => expect(rootSumSquare(5.8, 3.9, 6.7)).toBeCloseTo(9.7, 1));
});

describe('depth without a tag: terms of OWSG tool code set A (ISCWSA); combined value own, worked out apart', () => {
  it.each<[Platform, number, number, number]>([
    ['fixed', 2000, 2000, 1.542],
    ['fixed', 3000, 2500, 2.542],
    ['fixed', 4000, 3000, 3.76],
    ['fixed', 5000, 3000, 4.693],
    ['floating', 2000, 2000, 2.845],
    ['floating', 3000, 2500, 3.49],
    ['floating', 4000, 3000, 4.456],
    ['floating', 5000, 3000, 5.267],
  ])('%s, %d m measured, %d m vertical: %d m', (platform, md, tvd, sigma) => {
    expect(depthSigma(untaggedDepth(md, tvd, platform))).toBeCloseTo(sigma, 3);
  });

  it('own: of a joint of 12 m only what differs between its ends is left', () => {
    const top = untaggedDepth(3000, 2500, 'floating');
    const bottom = untaggedDepth(3012, 2505, 'floating');
    const differing = [0.00056 * 12, 2.5e-7 * (3012 * 2505 - 3000 * 2500)];
    expect(lengthSigma(top, bottom)).toBeCloseTo(Math.hypot(...differing), 9);
    expect(lengthSigma(top, bottom)).toBeLessThan(0.02);
  });
});

const part = fc.double({ min: -5, max: 5, noNaN: true });
const parts = fc.record({
  shared: fc.dictionary(fc.constantFrom('reference', 'scale', 'stretch'), part, { noNullPrototype: true }),
  own: fc.array(fc.double({ min: 0, max: 5, noNaN: true }), { maxLength: 3 }),
});

describe('length between two depths, own', () => {
  it('keeps nothing of what they share alike', () => {
    fc.assert(
      fc.property(parts, fc.array(part, { maxLength: 3 }), ({ shared, own }, other) => {
        expect(lengthSigma({ shared, own }, { shared, own: other })).toBeCloseTo(rootSumSquare(...own, ...other), 9);
      }),
    );
  });

  it('does not mind which end is first, and never beats the worst case of both', () => {
    fc.assert(
      fc.property(parts, parts, (a, b) => {
        expect(lengthSigma(a, b)).toBeCloseTo(lengthSigma(b, a), 9);
        expect(lengthSigma(a, b)).toBeLessThanOrEqual(depthSigma(a) + depthSigma(b) + 1e-9);
      }),
    );
  });

  it('with nothing shared is the root sum square of both', () => {
    expect(lengthSigma({ shared: { tag: 0.3 }, own: [] }, { shared: { reference: 0.4 }, own: [] })).toBeCloseTo(
      0.5,
      12,
    );
  });
});
