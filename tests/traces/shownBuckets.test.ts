import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { queryTraces, type TraceBuckets } from '../../src/traces/traceBuckets.ts';
import { appendRow, createTraceStore, lastMs, VALUE_COLUMNS } from '../../src/traces/traceStore.ts';
import { bucketMsFor, bucketNear, noBuckets, showBuckets } from '../../web/traces/shownBuckets.ts';
import { msOf, runOfRows } from './rows.ts';

/** The buckets of a range as plain data. */
function within(buckets: TraceBuckets, fromMs: number): unknown[] {
  const found: unknown[] = [];
  for (let i = 0; i < buckets.count; i++) {
    if (buckets.firstMs[i]! < fromMs) continue;
    found.push([
      buckets.firstMs[i],
      buckets.lastMs[i],
      buckets.breach[i],
      buckets.gaps[i],
      ...buckets.columns.flatMap((c) => [c.min[i], c.max[i], c.holes[i]]),
    ]);
  }
  return found;
}

describe('shown buckets', () => {
  it('however they came about, are what a fresh query gives', () => {
    fc.assert(
      fc.property(
        runOfRows(900),
        fc.integer({ min: 40, max: 300 }),
        fc.array(
          fc.tuple(fc.integer({ min: 1, max: 150 }), fc.boolean(), fc.double({ min: 0.02, max: 1, noNaN: true })),
          {
            minLength: 1,
            maxLength: 12,
          },
        ),
        (rows, px, steps) => {
          const store = createTraceStore();
          const shown = noBuckets(VALUE_COLUMNS);
          let next = 0;
          for (const [n, following, share] of steps) {
            for (let i = 0; i < n && next < rows.length; i++) appendRow(store, rows[next++]!);
            const toMs = following ? lastMs(store) : msOf(rows[0]!) + (lastMs(store) - msOf(rows[0]!)) * share;
            const range = { fromMs: toMs - Math.max(10_000, (toMs - msOf(rows[0]!)) * share), toMs };
            const buckets = showBuckets(shown, store, range, px, following);
            const bucketMs = bucketMsFor(range, px);
            const start = Math.floor(range.fromMs / bucketMs) * bucketMs;
            const parts = Math.ceil((lastMs(store) + 1 - start) / bucketMs);
            if (parts > 16_000) continue;
            const fresh = queryTraces(
              store,
              { fromMs: start, toMs: start + parts * bucketMs, buckets: parts },
              VALUE_COLUMNS,
            );
            const end = following ? Infinity : range.toMs;
            const upTo = (list: unknown[]) => list.filter((each) => (each as number[])[1]! <= end);
            expect(upTo(within(buckets, start))).toEqual(upTo(within(fresh, start)));
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  it('one more sample while live adds to the buckets at hand', () => {
    const store = createTraceStore();
    for (let s = 0; s < 5000; s++) appendRow(store, [s * 1000, ...new Array<number>(11).fill(s), 0]);
    const shown = noBuckets(VALUE_COLUMNS);
    const range = () => ({ fromMs: lastMs(store) - 3_600_000, toMs: lastMs(store) });
    const first = showBuckets(shown, store, range(), 500, true);
    for (let s = 5000; s < 5200; s++) {
      appendRow(store, [s * 1000, ...new Array<number>(11).fill(s), 0]);
      expect(showBuckets(shown, store, range(), 500, true)).toBe(first);
    }
  });

  it('finds the bucket nearest to a moment', () => {
    fc.assert(
      fc.property(runOfRows(200), fc.double({ min: -0.2, max: 1.2, noNaN: true }), (rows, share) => {
        const store = createTraceStore();
        for (const row of rows) appendRow(store, row);
        const range = { fromMs: msOf(rows[0]!), toMs: lastMs(store) + 1 };
        const shown = noBuckets(VALUE_COLUMNS);
        const buckets = showBuckets(shown, store, range, 300, false);
        const ms = range.fromMs + share * (range.toMs - range.fromMs);
        const found = bucketNear(buckets, shown.middleMs, ms);
        const far = (i: number) => Math.max(0, buckets.firstMs[i]! - ms, ms - buckets.lastMs[i]!);
        for (let i = 0; i < buckets.count; i++) {
          expect(far(found)).toBeLessThanOrEqual(Math.abs(shown.middleMs[i]! - ms));
        }
      }),
    );
  });
});
