/**
 * The time over which feed is taken: as short as the resolution of the depth allows, never shorter than six seconds or two
 * frames, never longer than a minute. Feed that changes at once from 1 to 3 m/min shows the window: k seconds later the
 * mean over it has moved by the share k / window.
 */
import { describe, expect, it } from 'vitest';
import { advanceMotion, createMotion } from '../../../src/pipeline/motion.ts';

const CHANGE_S = 300;
const depthAt = (s: number): number => 1000 + (s <= CHANGE_S ? s : CHANGE_S + 3 * (s - CHANGE_S)) / 60;

/** The feed after each frame behind the change, by seconds behind it. */
function feedsBehind(tolerance: number, everyS: number): Map<number, number> {
  const state = createMotion();
  const feeds = new Map<number, number>();
  for (let s = 0; s <= CHANGE_S + 120; s += everyS) {
    advanceMotion(state, s * 1000, depthAt(s), tolerance, everyS * 1000);
    if (s >= CHANGE_S) feeds.set(s - CHANGE_S, state.feed);
  }
  return feeds;
}

describe('the window of the feed', () => {
  it.each([
    // tolerance, m | a frame every, s | window, s: tolerance ÷ 0.08 m/min, in whole frames
    [0.001, 1, 6], // not shorter than six seconds
    [0.008, 1, 6],
    [0.01, 1, 8], // 7.5 s
    [0.02, 1, 15],
    [0.04, 1, 30],
    [0.08, 1, 60],
    [0.1, 1, 60], // 75 s would blur more than a minute
    [1, 1, 60],
    [0.001, 5, 10], // two frames
    [0.001, 10, 20],
    [0.02, 5, 15],
    [0.001, 2, 6],
    [0.1, 5, 60],
  ])('depth to %d m, a frame in %d s: %d s', (tolerance, everyS, windowS) => {
    for (const [behindS, feed] of feedsBehind(tolerance, everyS)) {
      expect(feed, `${behindS} s behind`).toBeCloseTo(1 + 2 * Math.min(1, behindS / windowS), 6);
    }
  });

  it('at the start of a run reaches back as far as there is anything', () => {
    const state = createMotion();
    for (let s = 0; s <= 3; s += 1) advanceMotion(state, s * 1000, 1000 + s / 30, 0.1, 1000);
    expect(state.feed).toBeCloseTo(2, 9);
    expect(state.times).toHaveLength(4);
  });

  it('keeps a bounded past that is longer than the window', () => {
    const state = createMotion();
    let most = 0;
    for (let s = 0; s <= 2000; s += 1) {
      advanceMotion(state, s * 1000, depthAt(s), 1, 1000);
      most = Math.max(most, state.times.length);
      expect(state.times.length).toBe(state.depths.length);
      if (s > 60) expect(s * 1000 - state.times[0]!).toBeGreaterThanOrEqual(60_000);
    }
    expect(most).toBe(128);
  });
});
