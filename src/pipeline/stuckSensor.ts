/**
 * A sensor that repeats one reading to the last digit although it has always wavered before. What counts is the sensor's
 * own past: a clean, coarse or simulated reading that often stands still is never called stuck.
 */

export interface Steadiness {
  last: number;
  /** Since when the reading has not changed, and when it was last read. */
  sameMs: number;
  lastMs: number;
  stuck: boolean;
  /** Longest time that it stood still before, and the time over which it was watched, ms; the present stand apart. */
  longestMs: number;
  watchedMs: number;
}

/** A sensor must have been watched this long, ms. */
const WATCHED_MS = 300_000;
/** It is stuck when it stands still this many times longer than ever before. */
const TIMES_LONGEST = 10;

export function createSteadiness(): Steadiness {
  return { last: Number.NaN, sameMs: Number.NaN, lastMs: Number.NaN, stuck: false, longestMs: 0, watchedMs: 0 };
}

/** What a stand teaches when it ends, however it ends; one that was called stuck teaches nothing. */
function endStand(state: Steadiness, atMs: number): void {
  const stoodMs = atMs - state.sameMs;
  if (!(stoodMs > 0) || state.stuck) return;
  state.longestMs = Math.max(state.longestMs, stoodMs);
  state.watchedMs += stoodMs;
}

/** A stretch in which the reading may well stand still (pumps off, in slips, no data): nothing is judged. */
export function restSteadiness(state: Steadiness): void {
  endStand(state, state.lastMs);
  state.last = Number.NaN;
  state.sameMs = Number.NaN;
  state.lastMs = Number.NaN;
  state.stuck = false;
}

/** Works one reading of a live sensor in; returns since when it is stuck, ms, NaN for not. `leastMs`: at least so long. */
export function advanceSteadiness(state: Steadiness, atMs: number, value: number, leastMs: number): number {
  if (Number.isNaN(value)) {
    restSteadiness(state);
    return Number.NaN;
  }
  if (value !== state.last) {
    endStand(state, atMs);
    state.last = value;
    state.sameMs = atMs;
    state.lastMs = atMs;
    state.stuck = false;
    return Number.NaN;
  }
  state.lastMs = atMs;
  const stoodMs = atMs - state.sameMs;
  if (state.watchedMs >= WATCHED_MS && stoodMs >= leastMs && stoodMs >= TIMES_LONGEST * state.longestMs)
    state.stuck = true;
  return state.stuck ? state.sameMs : Number.NaN;
}
