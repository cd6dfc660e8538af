/**
 * A sensor that repeats one reading to the last digit although it has always wavered before. What counts is the sensor's
 * own past: a clean, coarse or simulated reading that often stands still is never called stuck.
 */

export interface Steadiness {
  last: number;
  /** Since when the reading has not changed. */
  sameMs: number;
  /** Longest time that it stood still before and then moved on, and the time over which that was watched, ms. */
  longestMs: number;
  watchedMs: number;
  lastMs: number;
}

/** A sensor must have been watched this long, ms. */
const WATCHED_MS = 300_000;
/** It is stuck when it stands still this many times longer than ever before. */
const TIMES_LONGEST = 10;

export function createSteadiness(): Steadiness {
  return { last: Number.NaN, sameMs: Number.NaN, longestMs: 0, watchedMs: 0, lastMs: Number.NaN };
}

/** A stretch in which the reading may well stand still (pumps off, in slips): nothing is learnt, nothing is judged. */
export function restSteadiness(state: Steadiness): void {
  state.last = Number.NaN;
  state.sameMs = Number.NaN;
  state.lastMs = Number.NaN;
}

/** Works one reading of a live sensor in; returns since when it is stuck, ms, NaN for not. `leastMs`: at least so long. */
export function advanceSteadiness(state: Steadiness, atMs: number, value: number, leastMs: number): number {
  if (Number.isNaN(value)) {
    restSteadiness(state);
    return Number.NaN;
  }
  const step = atMs - state.lastMs;
  state.lastMs = atMs;
  if (step > 0) state.watchedMs += step;
  if (value !== state.last) {
    if (!Number.isNaN(state.sameMs)) {
      const stood = atMs - state.sameMs;
      if (stood > state.longestMs && stood < leastMs) state.longestMs = stood;
      else if (stood >= leastMs && state.watchedMs < WATCHED_MS) state.longestMs = stood;
    }
    state.last = value;
    state.sameMs = atMs;
    return Number.NaN;
  }
  const stood = atMs - state.sameMs;
  const known = state.watchedMs >= WATCHED_MS && state.longestMs > 0;
  return known && stood >= leastMs && stood >= TIMES_LONGEST * state.longestMs ? state.sameMs : Number.NaN;
}
