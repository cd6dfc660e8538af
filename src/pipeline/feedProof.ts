/**
 * Which stretches were swept faster than a bound, as far as the readings prove it.
 *
 * A one-sided cumulative sum (Page 1954): G grows by the depth gained beyond what the bound allows. A window of samples
 * proves too fast a feed when G rises over it by more than the depth readings can be wrong. Only the shortest such
 * windows count, so that a proof never spreads into the slow stretches beside it:
 *
 * F1 for each new sample, the latest start from which the rise exceeds the tolerance makes a window;
 * F2 a window that contains an earlier one is not the shortest, and is passed over;
 * F3 a sample is settled once no shortest window of the future can reach it.
 */

export interface FeedProof {
  /** G at each open sample; G is rebased as samples settle. */
  sums: number[];
  /** Absolute number of the first open sample. */
  base: number;
  /** Absolute number of the latest start of a window so far; -1 before the first. */
  lastStart: number;
}

export function createFeedProof(): FeedProof {
  return { sums: [0], base: 0, lastStart: -1 };
}

export function restartFeedProof(state: FeedProof): void {
  state.sums = [0];
  state.base = 0;
  state.lastStart = -1;
}

export interface ProofWindow {
  /** Absolute numbers of the samples between which the feed was too fast; from = to: none. */
  from: number;
  to: number;
}

/**
 * Adds the segment from the last sample to a new one: `advanceM` metres in `minutes`, against `maxMPerMin` (infinite:
 * no bound). `tolerance`: what the difference of two depths may be wrong by, m. Writes the proven window to `out`.
 */
export function addSegment(
  state: FeedProof,
  advanceM: number,
  minutes: number,
  maxMPerMin: number,
  tolerance: number,
  out: ProofWindow,
): void {
  const { sums, base } = state;
  out.from = out.to = 0;
  const excess = maxMPerMin === Infinity ? -1 : advanceM - maxMPerMin * minutes;
  const sum = sums[sums.length - 1]! + excess;
  const end = base + sums.length;
  sums.push(sum);
  if (!(excess > 0)) return;
  for (let i = sums.length - 2; i >= 0 && base + i > state.lastStart; i -= 1) {
    if (sum - sums[i]! > tolerance) {
      state.lastStart = base + i;
      out.from = base + i;
      out.to = end;
      return;
    }
  }
}

/** Absolute number up to which samples are settled (F3): the latest lowest G after the last window's start. */
export function settledUpTo(state: FeedProof): number {
  const { sums, base } = state;
  const from = Math.max(0, state.lastStart + 1 - base);
  let best = from;
  for (let i = from + 1; i < sums.length; i += 1) if (sums[i]! <= sums[best]!) best = i;
  return base + Math.min(best, sums.length - 1);
}

/** Forgets the samples before `number`, which must be settled. */
export function forgetBefore(state: FeedProof, number: number): void {
  const drop = Math.min(number - state.base, state.sums.length - 1);
  if (drop <= 0) return;
  state.sums.splice(0, drop);
  state.base += drop;
}
