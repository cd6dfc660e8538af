/**
 * Which way the string goes, and how fast: judged no finer than the depth readings allow. A string that has not moved
 * by more than the readings can tell for `stillAfterMs` is still.
 */

export type Way = 'down' | 'up' | 'still';

export interface Motion {
  way: Way;
  /** Where and when the string last moved beyond what the readings can tell apart. */
  anchorDepth: number;
  anchorMs: number;
  /** Depth from which an upward movement started, m; NaN while not going up. */
  upFrom: number;
  /** Feed, m/min, positive downwards, over the shortest time that the resolution allows. */
  feed: number;
  times: number[];
  depths: number[];
}

/** A feed is shown to about this much: resolution ÷ time, m/min. */
const FEED_RESOLUTION_M_PER_MIN = 0.08;
const SHORTEST_FEED_MS = 6_000;
const LONGEST_FEED_MS = 60_000;
/** Slower than this is still for the purpose of telling phases, m/min. */
const CREEP_M_PER_MIN = 0.12;
const SHORTEST_STILL_MS = 8_000;
const RING = 128;

export function createMotion(): Motion {
  return {
    way: 'still',
    anchorDepth: Number.NaN,
    anchorMs: Number.NaN,
    upFrom: Number.NaN,
    feed: 0,
    times: [],
    depths: [],
  };
}

export function restartMotion(state: Motion): void {
  state.way = 'still';
  state.anchorDepth = Number.NaN;
  state.feed = 0;
  state.times.length = 0;
  state.depths.length = 0;
}

/** Works one depth in; `tolerance` is what two depths may differ by without movement, m. `periodMs`: frame period. */
export function advanceMotion(state: Motion, atMs: number, depth: number, tolerance: number, periodMs: number): void {
  if (Number.isNaN(state.anchorDepth)) {
    state.anchorDepth = depth;
    state.anchorMs = atMs;
  }
  const stillAfterMs = Math.max(SHORTEST_STILL_MS, 2.2 * periodMs, (tolerance / CREEP_M_PER_MIN) * 60_000);
  const moved = depth - state.anchorDepth;
  const reversed = (state.way === 'down' && moved < 0) || (state.way === 'up' && moved > 0);
  if (Math.abs(moved) > tolerance * (reversed ? 2 : 1)) {
    state.way = moved > 0 ? 'down' : 'up';
    if (state.way === 'up') state.upFrom = Number.isNaN(state.upFrom) ? state.anchorDepth : state.upFrom;
    else state.upFrom = Number.NaN;
    state.anchorDepth = depth;
    state.anchorMs = atMs;
  } else if (atMs - state.anchorMs > stillAfterMs) state.way = 'still';
  measureFeed(state, atMs, depth, tolerance, periodMs);
}

/** Over how long the feed is measured, ms: the shortest time that the resolution of the depth allows. */
export function feedWindowMs(tolerance: number, periodMs: number): number {
  const resolved = (tolerance / FEED_RESOLUTION_M_PER_MIN) * 60_000;
  return Math.min(LONGEST_FEED_MS, Math.max(SHORTEST_FEED_MS, 2 * periodMs, resolved));
}

/** The depth that was measured `ms` before, m, of the string's end; NaN where that lies too far back. */
export function depthAgo(state: Motion, atMs: number, ms: number): number {
  const { times, depths } = state;
  let i = times.length - 1;
  while (i >= 0 && atMs - times[i]! < ms) i -= 1;
  return i >= 0 ? depths[i]! : Number.NaN;
}

function measureFeed(state: Motion, atMs: number, depth: number, tolerance: number, periodMs: number): void {
  const { times, depths } = state;
  times.push(atMs);
  depths.push(depth);
  if (times.length > RING) {
    times.splice(0, RING / 2);
    depths.splice(0, RING / 2);
  }
  const wanted = feedWindowMs(tolerance, periodMs);
  let i = times.length - 1;
  while (i > 0 && atMs - times[i]! < wanted) i -= 1;
  const span = atMs - times[i]!;
  state.feed = span > 0 ? ((depth - depths[i]!) / span) * 60_000 : 0;
  if (state.way === 'still' && Math.abs(state.feed) * (wanted / 60_000) <= tolerance) state.feed = 0;
}
