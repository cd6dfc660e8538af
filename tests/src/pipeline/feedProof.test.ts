/** Rules F1 to F4: what depth readings prove of a feed, and what they do not. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addSegment, createFeedProof, type FastStretch, settledUpTo } from '../../../src/pipeline/feedProof.ts';

const MAX = 2;

/** Feeds depths in, one a second; returns which of the stretches between samples are proven too fast. */
function marksOf(depths: readonly number[], max: number, tolerance: number): boolean[] {
  const state = createFeedProof();
  const marks = new Array<boolean>(depths.length - 1).fill(false);
  const out: FastStretch = { from: 0, to: 0 };
  for (let i = 1; i < depths.length; i += 1) {
    addSegment(state, depths[i]! - depths[i - 1]!, 1 / 60, max, tolerance, out);
    marks.fill(true, out.from, out.to);
  }
  return marks;
}

/** Depth after each second at the feeds given, m/min. */
function walk(feeds: readonly number[]): number[] {
  const depths = [1000];
  for (const feed of feeds) depths.push(depths[depths.length - 1]! + feed / 60);
  return depths;
}
const printed = (depths: readonly number[], step: number): number[] => depths.map((d) => Math.round(d / step) * step);
/** Rounding of floating point sums, far below any depth that is read. */
const DUST = 1e-7;

describe('F1 to F3, case by case', () => {
  const segments = (list: readonly number[], tolerance: number): [number, number, boolean, number][] => {
    const state = createFeedProof();
    const out: FastStretch = { from: 0, to: 0 };
    return list.map((advance) => {
      addSegment(state, advance, 1, MAX, tolerance, out);
      return [out.from, out.to, state.fast, settledUpTo(state)];
    });
  };

  it('F1: a rise of the tolerance itself proves nothing, one beyond it dates back to the lowest point', () => {
    // against 2 m a minute: -1 (lowest at 1), +0.25, +0.25 (rise 0.5: not more than it), +0.25 (0.75)
    expect(segments([1, 2.25, 2.25, 2.25], 0.5)).toEqual([
      [1, 1, false, 1],
      [2, 2, false, 1],
      [3, 3, false, 1],
      [1, 4, true, 4],
    ]);
  });

  it('F2: it is over once the sum has fallen by more than the tolerance, and ended at the highest point', () => {
    expect(segments([3, 1.75, 1.75, 1.5], 0.5)).toEqual([
      [0, 1, true, 1],
      [2, 2, true, 1],
      [3, 3, true, 1],
      [4, 4, false, 4],
    ]);
  });

  it('F2: a dip within the tolerance belongs to the fast stretch', () => {
    expect(segments([3, 1.75, 3], 0.5)).toEqual([
      [0, 1, true, 1],
      [2, 2, true, 1],
      [1, 3, true, 3],
    ]);
  });

  it('F3: nothing that is settled is marked any more, and what is settled stays so', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 5, noNaN: true }), { minLength: 1, maxLength: 80 }),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (advances, tolerance) => {
          const state = createFeedProof();
          const out: FastStretch = { from: 0, to: 0 };
          advances.forEach((advance, i) => {
            const before = settledUpTo(state);
            addSegment(state, advance, 1, MAX, tolerance, out);
            expect(out.from).toBeGreaterThanOrEqual(before);
            expect(out.to).toBe(i + 1);
            expect(settledUpTo(state)).toBeGreaterThanOrEqual(before);
            expect(settledUpTo(state)).toBeLessThanOrEqual(i + 1);
          });
        },
      ),
    );
  });

  it('without a bound nothing is ever too fast, and everything is settled at once', () => {
    const state = createFeedProof();
    const out: FastStretch = { from: 0, to: 0 };
    for (let i = 1; i <= 20; i += 1) {
      addSegment(state, 1000, 1, Infinity, 0, out);
      expect([out.from, out.to, state.fast, settledUpTo(state)]).toEqual([i, i, false, i]);
    }
  });
});

describe('against the truth', () => {
  const slowFeeds = fc.array(fc.double({ min: -3, max: MAX, noNaN: true }), { minLength: 1, maxLength: 200 });

  it('a feed never above the bound is never called fast', () => {
    fc.assert(
      fc.property(slowFeeds, fc.double({ min: DUST, max: 1, noNaN: true }), (feeds, tolerance) => {
        expect(marksOf(walk(feeds), MAX, tolerance)).not.toContain(true);
      }),
    );
  });

  it('nor when its depths are printed in steps, with the step as tolerance', () => {
    fc.assert(
      fc.property(slowFeeds, fc.constantFrom(0.01, 0.03048, 0.1, 0.3048), (feeds, step) => {
        expect(marksOf(printed(walk(feeds), step), MAX, step + DUST)).not.toContain(true);
      }),
      { numRuns: 300 },
    );
  });

  it('a feed above the bound that lasts is found, with its ends as near as the readings tell', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(0.01, 0.03048, 0.1),
        fc.double({ min: 3, max: 8, noNaN: true }),
        fc.double({ min: 0.2, max: 1, noNaN: true }),
        fc.integer({ min: 60, max: 300 }),
        (step, fastFeed, slowFeed, lead) => {
          const tolerance = step + DUST;
          // Long enough to prove it twice over: (v - max) x minutes > 3 tolerances.
          const fastSeconds = Math.ceil(((3 * tolerance) / (fastFeed - MAX)) * 60) + 5;
          const slow = (count: number): number[] => new Array<number>(count).fill(slowFeed);
          const feeds = [...slow(lead), ...new Array<number>(fastSeconds).fill(fastFeed), ...slow(120)];
          const marks = marksOf(printed(walk(feeds), step), MAX, tolerance);
          const first = marks.indexOf(true);
          const last = marks.lastIndexOf(true) + 1;
          expect(first, 'found').toBeGreaterThanOrEqual(0);
          expect(marks.slice(first, last), 'in one piece').not.toContain(false);
          // Inwards the reading hides tolerance ÷ (v − max) minutes of it, outwards tolerance ÷ (max − u) minutes.
          const inwards = (tolerance / (fastFeed - MAX)) * 60 + 1;
          const outwards = (tolerance / (MAX - slowFeed)) * 60 + 1;
          for (const off of [first - lead, lead + fastSeconds - last]) {
            expect(off * (fastFeed / 60)).toBeLessThanOrEqual(inwards * (fastFeed / 60));
            expect(-off).toBeLessThanOrEqual(outwards);
          }
        },
      ),
      { numRuns: 300 },
    );
  });

  /**
   * NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3 (CUSUM): 20 group means, target 325, k 0.3175, h 4.1959; the upper
   * sum is 3.01 at group 13 and 4.94, past h, at group 14. Data as reprinted with the R package vMask; k, h and the sums
   * are from memory.
   */
  it('is the one-sided cumulative sum: the first alarm of the published example is at group 14', () => {
    const means = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
      327.25,
    ];
    const state = createFeedProof();
    const out: FastStretch = { from: 0, to: 0 };
    const alarms = means.map((mean, i) => {
      addSegment(state, mean, 1, 325 + 0.3175, 4.1959, out);
      if (i === 12) expect(state.sum - state.turnSum).toBeCloseTo(3.01, 2);
      return state.fast;
    });
    expect(alarms.indexOf(true) + 1).toBe(14);
    expect([out.from, out.to]).toEqual([12, 14]);
  });
});

describe('F4: a stamp that may be late', () => {
  /** 2.6 m/min read each 1.03 s and stamped to the second: two stamps now and then lie two seconds apart. */
  function openAfter(lateMinutes: number): boolean[] {
    const state = createFeedProof();
    const out: FastStretch = { from: 0, to: 0 };
    const marks = new Array<boolean>(40).fill(false);
    for (let i = 1; i <= 40; i += 1) {
      const late = i === 20;
      addSegment(state, (2.6 / 60) * 1.03, (late ? 2 : 1) / 60, MAX, 0.01, out, late ? lateMinutes : 0);
      marks.fill(true, out.from, out.to);
    }
    return marks;
  }

  it('does not make a stretch within a fast one slow', () => {
    expect(openAfter(1 / 60)).not.toContain(false);
    expect(openAfter(0)).toContain(false);
  });

  it('does not lengthen a fast stretch that is over', () => {
    const state = createFeedProof();
    const out: FastStretch = { from: 0, to: 0 };
    const marks = new Array<boolean>(40).fill(false);
    for (let i = 1; i <= 40; i += 1) {
      addSegment(state, (i <= 20 ? 2.6 : 1.2) / 60, 1 / 60, MAX, 0.01, out, i === 21 ? 1 / 60 : 0);
      marks.fill(true, out.from, out.to);
    }
    expect(marks.lastIndexOf(true)).toBe(19);
  });
});
