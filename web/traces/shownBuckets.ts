/**
 * The buckets on screen. While the window follows the newest row they are added to, row by row; they are made anew only
 * when the zoom changes, when they are full, or when the window is held elsewhere.
 */
import { extendBuckets, openBuckets, queryTraces, type TraceBuckets } from '../../src/traces/traceBuckets.ts';
import { lastMs, rowCount, type TraceStore, type ValueColumn } from '../../src/traces/traceStore.ts';
import type { TimeRange } from './timeWindow.ts';
import { roundStep } from './valueScale.ts';

export interface ShownBuckets {
  /** What is drawn: no other column is kept. */
  readonly columns: readonly ValueColumn[];
  store: TraceStore | undefined;
  buckets: TraceBuckets | undefined;
  /** Middle of each bucket's rows, ms: where it is drawn. */
  middleMs: Float64Array;
  following: boolean;
  bucketMs: number;
  toMs: number;
  rowsSeen: number;
}

export const noBuckets = (columns: readonly ValueColumn[]): ShownBuckets => ({
  columns,
  store: undefined,
  buckets: undefined,
  middleMs: new Float64Array(0),
  following: false,
  bucketMs: 0,
  toMs: -Infinity,
  rowsSeen: -1,
});

/** Length of a bucket for a range drawn `px` dots wide: a round number of ms, at least a dot. */
export const bucketMsFor = (range: TimeRange, px: number): number =>
  roundStep(Math.max(1, (range.toMs - range.fromMs) / Math.max(1, px)));

/** Brings the buckets to the range and the newest row; cheap when only rows were added. */
export function showBuckets(
  shown: ShownBuckets,
  store: TraceStore,
  range: TimeRange,
  px: number,
  following: boolean,
): TraceBuckets {
  const bucketMs = bucketMsFor(range, px);
  const now = shown.buckets;
  const fits =
    now !== undefined &&
    shown.store === store &&
    shown.following === following &&
    shown.bucketMs === bucketMs &&
    now.fromMs <= range.fromMs;
  const rows = store.dropped + rowCount(store);
  if (fits && following) {
    const known = Math.max(0, now.count - 1);
    if (extendBuckets(now, store)) return settle(shown, now, known, rows);
  } else if (fits && range.toMs <= shown.toMs && (rows === shown.rowsSeen || lastMs(store) > shown.toMs + bucketMs)) {
    return now;
  }
  const lead = Math.floor(range.fromMs / bucketMs - 1) * bucketMs;
  const parts = Math.ceil((range.toMs - lead) / bucketMs) + 1;
  const made = following
    ? openBuckets(store, lead, bucketMs, Math.ceil(px), shown.columns)
    : queryTraces(store, { fromMs: lead, toMs: lead + parts * bucketMs, buckets: parts }, shown.columns);
  shown.store = store;
  shown.buckets = made;
  shown.following = following;
  shown.bucketMs = bucketMs;
  shown.toMs = following ? Infinity : lead + parts * bucketMs;
  shown.middleMs = new Float64Array(made.capacity);
  return settle(shown, made, 0, rows);
}

function settle(shown: ShownBuckets, buckets: TraceBuckets, from: number, rows: number): TraceBuckets {
  for (let i = from; i < buckets.count; i++) {
    shown.middleMs[i] = (buckets.firstMs[i]! + buckets.lastMs[i]!) / 2;
  }
  shown.rowsSeen = rows;
  return buckets;
}

/** First bucket whose last row is at or after `ms`; the count when there is none. */
export function bucketAtOrAfter(buckets: TraceBuckets, ms: number): number {
  let low = 0;
  let high = buckets.count;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (buckets.lastMs[middle]! < ms) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The bucket that lies nearest to `ms`, or -1. */
export function bucketNear(buckets: TraceBuckets, middleMs: Float64Array, ms: number): number {
  const next = bucketAtOrAfter(buckets, ms);
  if (next === buckets.count) return buckets.count - 1;
  return next > 0 && ms - middleMs[next - 1]! < middleMs[next]! - ms ? next - 1 : next;
}
