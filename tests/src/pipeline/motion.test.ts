/** Which way the string goes, judged no finer than the readings allow. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { advanceMotion, createMotion, type Motion, restartMotion } from '../../../src/pipeline/motion.ts';

/** Moves at `feed` m/min for `seconds`, a sample every `everyS`, printed to `step`. Returns the depth reached. */
function move(
  state: Motion,
  from: [s: number, depth: number],
  feed: number,
  seconds: number,
  step: number,
  everyS = 1,
): [number, number] {
  let [s, depth] = from;
  for (let i = everyS; i <= seconds; i += everyS) {
    s += everyS;
    depth += (feed * everyS) / 60;
    advanceMotion(state, s * 1000, Math.round(depth / step) * step, step * 1.001, everyS * 1000);
  }
  return [s, depth];
}

describe('the way', () => {
  it('goes down, stands after a while, goes up from where it stood', () => {
    const state = createMotion();
    let at = move(state, [0, 1000], 1.2, 60, 0.01);
    expect(state.way).toBe('down');
    at = move(state, at, 0, 7, 0.01);
    expect(state.way, 'not yet').toBe('down');
    at = move(state, at, 0, 5, 0.01);
    expect(state.way).toBe('still');
    const stood = at[1];
    move(state, at, -6, 20, 0.01);
    expect(state.way).toBe('up');
    expect(state.upFrom).toBeCloseTo(stood, 1);
  });

  it.each([
    [0.01, 1],
    [0.1, 1],
    [0.1, 5],
    [0.03048, 1],
  ])('an even feed printed to %f m, a sample in %d s, is never called still or up', (step, everyS) => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (feed, offset) => {
          const state = createMotion();
          let at: [number, number] = [0, 1000 + offset];
          at = move(state, at, feed, 60, step, everyS);
          for (let i = 0; i < 40; i += 1) {
            at = move(state, at, feed, everyS, step, everyS);
            expect(state.way).toBe('down');
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('a reading that flickers by its last digit is still', () => {
    const state = createMotion();
    for (let s = 0; s < 120; s += 1) advanceMotion(state, s * 1000, 1000 + (s % 2) * 0.1, 0.1001, 1000);
    expect(state.way).toBe('still');
    expect(state.feed).toBe(0);
  });

  it('asks for twice the step to turn round', () => {
    const state = createMotion();
    move(state, [0, 1000], 1.2, 60, 0.01);
    const bottom = state.anchorDepth;
    advanceMotion(state, 61_000, bottom - 0.015, 0.01001, 1000);
    expect(state.way).toBe('down');
    advanceMotion(state, 62_000, bottom - 0.03, 0.01001, 1000);
    expect(state.way).toBe('up');
  });
});

describe('the feed', () => {
  it.each([
    [0.01, 1, 0.1],
    [0.1, 1, 0.2],
    [0.1, 5, 0.25],
  ])('printed to %f m, a sample in %d s, is within %f m/min of the truth', (step, everyS, within) => {
    fc.assert(
      fc.property(fc.double({ min: -3, max: 3, noNaN: true }), (feed) => {
        const state = createMotion();
        move(state, [0, 1000], feed, 180, step, everyS);
        if (Math.abs(feed) > 0.3) expect(Math.abs(state.feed - feed)).toBeLessThan(within);
      }),
      { numRuns: 60 },
    );
  });

  it('starts anew after a break', () => {
    const state = createMotion();
    move(state, [0, 1000], 2, 60, 0.01);
    restartMotion(state);
    expect([state.way, state.feed]).toEqual(['still', 0]);
    advanceMotion(state, 300_000, 1400, 0.01, 1000);
    expect([state.way, state.feed]).toEqual(['still', 0]);
  });

  it('keeps a bounded history', () => {
    const state = createMotion();
    move(state, [0, 1000], 1, 5000, 0.01);
    expect(state.times.length).toBeLessThanOrEqual(128);
    expect(state.depths.length).toBe(state.times.length);
  });
});
