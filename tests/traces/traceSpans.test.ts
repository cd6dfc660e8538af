import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TraceRow } from '../../src/live/messages.ts';
import { queryTraces } from '../../src/traces/traceBuckets.ts';
import { breachSpans, joined, unknownSpans } from '../../src/traces/traceSpans.ts';
import { appendRow, createTraceStore, type TraceStore, VALUE_COLUMNS } from '../../src/traces/traceStore.ts';
import { breachOf, COLUMN_COUNT, msOf, readingOf, runOfRows } from './rows.ts';

function storeOf(rows: TraceRow[]): TraceStore {
  const store = createTraceStore();
  for (const row of rows) appendRow(store, row);
  return store;
}

describe('spans of traces', () => {
  it('a line never bridges a hole, and every hole is hatched', () => {
    fc.assert(
      fc.property(runOfRows(1500), fc.integer({ min: 1, max: 300 }), fc.nat(COLUMN_COUNT - 1), (rows, n, c) => {
        const store = storeOf(rows);
        const span = { fromMs: msOf(rows[0]!), toMs: msOf(rows.at(-1)!) + 1 };
        const buckets = queryTraces(store, { ...span, buckets: n }, [VALUE_COLUMNS[c]!]);
        const column = buckets.columns[0]!;
        const hatched = unknownSpans(buckets, column, 0, buckets.count);
        const lines: [number, number][] = [];
        for (let i = 1; i < buckets.count; i++) {
          if (joined(buckets, column, i)) lines.push([buckets.firstMs[i - 1]!, buckets.lastMs[i]!]);
        }
        rows.forEach((row, i) => {
          const ms = msOf(row);
          const gap = (breachOf(row) & 16) !== 0 || (i > 0 && ms - msOf(rows[i - 1]!) > store.gapAfterMs);
          const unknown = Number.isNaN(readingOf(row, c));
          if (unknown) expect(hatched.some((s) => s.fromMs <= ms && ms <= s.toMs)).toBe(true);
          if (gap && i > 0) {
            const before = msOf(rows[i - 1]!);
            expect(hatched.some((s) => s.fromMs <= before && ms <= s.toMs)).toBe(true);
            // A line may start at the gap's end or end at its start; it must not run over it.
            expect(lines.some(([from, to]) => from <= before && ms <= to && from < ms && before < to)).toBe(false);
          }
          if (unknown) expect(lines.some(([from, to]) => from <= ms && ms <= to)).toBe(false);
        });
      }),
      { numRuns: 40 },
    );
  });

  it('every breach is marked at its time, at every zoom', () => {
    fc.assert(
      fc.property(runOfRows(1500), fc.integer({ min: 1, max: 300 }), (rows, n) => {
        const store = storeOf(rows);
        const span = { fromMs: msOf(rows[0]!), toMs: msOf(rows.at(-1)!) + 1 };
        const buckets = queryTraces(store, { ...span, buckets: n }, []);
        for (const bit of [1, 2, 4, 8, 16]) {
          const marks = breachSpans(buckets, bit, 0, buckets.count);
          for (const row of rows) {
            if ((breachOf(row) & bit) === 0) continue;
            expect(marks.some((mark) => mark.fromMs <= msOf(row) && msOf(row) <= mark.toMs)).toBe(true);
          }
          if (marks.length > 0) expect(rows.some((row) => breachOf(row) & bit)).toBe(true);
        }
      }),
      { numRuns: 30 },
    );
  });
});
