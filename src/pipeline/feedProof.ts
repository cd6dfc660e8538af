/**
 * Which stretches were swept faster than a bound, as far as the readings prove it.
 *
 * A cumulative sum (Page 1954): G grows by the depth gained beyond what the bound allows, so it rises while the feed is too
 * fast and falls while it is not. The depth readings leave G uncertain by a tolerance:
 *
 * F1 a rise of more than the tolerance from the lowest G proves too fast a feed; it began at that lowest point;
 * F2 a fall of more than the tolerance from the highest G proves that it is over; it ended at that highest point;
 * F3 a sample is settled once neither can reach it any more;
 * F4 a stamp that may be late makes its segment seem slow: what G falls by that alone is no fall.
 */

export interface FeedProof {
  fast: boolean;
  sum: number;
  /** The turning point so far, lowest while slow, highest while fast: G and the number of the sample. */
  turnSum: number;
  turnAt: number;
  /** Number of the newest sample. */
  at: number;
}

export function createFeedProof(): FeedProof {
  return { fast: false, sum: 0, turnSum: 0, turnAt: 0, at: 0 };
}

export function restartFeedProof(state: FeedProof): void {
  state.fast = false;
  state.sum = 0;
  state.turnSum = 0;
  state.turnAt = 0;
  state.at = 0;
}

export interface FastStretch {
  /** Numbers of the samples between which the feed is now known to have been too fast; from = to: nothing new. */
  from: number;
  to: number;
}

/**
 * Adds the segment from the last sample to a new one: `advanceM` metres in `minutes`, against `maxMPerMin` (infinite: no
 * bound). `tolerance`: what the difference of two depths may be wrong by, m. Writes what is newly known to `out`.
 * `late`: of `minutes`, how many may be due to the stamp.
 */
export function addSegment(
  state: FeedProof,
  advanceM: number,
  minutes: number,
  maxMPerMin: number,
  tolerance: number,
  out: FastStretch,
  late = 0,
): void {
  state.at += 1;
  out.from = out.to = state.at;
  if (maxMPerMin === Infinity) {
    state.turnAt = state.at;
    return;
  }
  state.sum += advanceM - maxMPerMin * minutes;
  if (state.fast) {
    if (late > 0) state.turnSum = Math.max(Math.min(state.sum, state.turnSum), state.turnSum - maxMPerMin * late);
    whileFast(state, tolerance, out);
  } else whileSlow(state, tolerance, out);
}

function whileSlow(state: FeedProof, tolerance: number, out: FastStretch): void {
  if (state.sum <= state.turnSum) turn(state);
  else if (state.sum - state.turnSum > tolerance) {
    out.from = state.turnAt;
    state.fast = true;
    turn(state);
  }
}

function whileFast(state: FeedProof, tolerance: number, out: FastStretch): void {
  if (state.sum > state.turnSum) {
    out.from = state.turnAt;
    turn(state);
  } else if (state.turnSum - state.sum > tolerance) {
    state.fast = false;
    // What came after the highest point was slow: the lowest point since then is the new turning point.
    turn(state);
  }
}

function turn(state: FeedProof): void {
  state.turnSum = state.sum;
  state.turnAt = state.at;
}

/** Number up to which samples are settled (F3). */
export function settledUpTo(state: FeedProof): number {
  return state.turnAt;
}
