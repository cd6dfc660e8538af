/** What may be drawn between buckets: where a line may run, where nothing is known, where a limit was broken. */
import type { BucketColumn, TraceBuckets } from './traceBuckets.ts';
import { GAP_BEFORE, GAP_INSIDE } from './traceStore.ts';

/** Whether a line may be drawn from bucket i - 1 to bucket i of a column: nothing between their middles is unknown. */
export function joined(buckets: TraceBuckets, column: BucketColumn, i: number): boolean {
  return (
    i > 0 &&
    buckets.gaps[i] === 0 &&
    (buckets.gaps[i - 1]! & GAP_INSIDE) === 0 &&
    column.holes[i] === 0 &&
    column.holes[i - 1] === 0
  );
}

export interface TimeSpan {
  fromMs: number;
  toMs: number;
}

/** Where a column is not known, among buckets [from, to): from the last row known before to the first known after. */
export function unknownSpans(buckets: TraceBuckets, column: BucketColumn, from: number, to: number): TimeSpan[] {
  const spans: TimeSpan[] = [];
  const add = (fromMs: number, toMs: number) => {
    const last = spans.at(-1);
    if (last && fromMs <= last.toMs) last.toMs = Math.max(last.toMs, toMs);
    else spans.push({ fromMs, toMs });
  };
  for (let i = from; i < to; i++) {
    const before = i > 0 ? buckets.lastMs[i - 1]! : buckets.firstMs[i]!;
    if (buckets.gaps[i]! & GAP_BEFORE) add(before, buckets.firstMs[i]!);
    const after = i + 1 < buckets.count ? buckets.firstMs[i + 1]! : buckets.lastMs[i]!;
    if (column.holes[i] === 1) add(before, after);
    else if (buckets.gaps[i]! & GAP_INSIDE) add(buckets.firstMs[i]!, buckets.lastMs[i]!);
  }
  return spans;
}

/** Where a limit was broken, among buckets [from, to): neighbouring buckets make one span. */
export function breachSpans(buckets: TraceBuckets, bit: number, from: number, to: number): TimeSpan[] {
  const spans: TimeSpan[] = [];
  for (let i = from; i < to; i++) {
    if ((buckets.breach[i]! & bit) === 0) continue;
    const last = spans.at(-1);
    if (last && i > from && (buckets.breach[i - 1]! & bit) !== 0) last.toMs = buckets.lastMs[i]!;
    else spans.push({ fromMs: buckets.firstMs[i]!, toMs: buckets.lastMs[i]! });
  }
  return spans;
}
