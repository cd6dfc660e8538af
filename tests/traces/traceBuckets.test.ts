import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TraceRow } from '../../src/live/messages.ts';
import {
  extendBuckets,
  openBuckets,
  queryTraces,
  slotStartMs,
  type TraceBuckets,
} from '../../src/traces/traceBuckets.ts';
import {
  appendRow,
  createTraceStore,
  GAP_BEFORE,
  GAP_INSIDE,
  type TraceStore,
  VALUE_COLUMNS,
} from '../../src/traces/traceStore.ts';
import { breachOf, COLUMN_COUNT, msOf, readingOf, runOfRows } from './rows.ts';

function storeOf(rows: TraceRow[], options = {}): TraceStore {
  const store = createTraceStore(options);
  for (const row of rows) appendRow(store, row);
  return store;
}

interface Plain {
  slot: number;
  firstMs: number;
  lastMs: number;
  rows: number;
  breach: number;
  gaps: number;
  columns: { min: number; max: number; hole: boolean }[];
}

const plain = (buckets: TraceBuckets): Plain[] =>
  Array.from({ length: buckets.count }, (_, i) => ({
    slot: buckets.slot[i]!,
    firstMs: buckets.firstMs[i]!,
    lastMs: buckets.lastMs[i]!,
    rows: buckets.rows[i]!,
    breach: buckets.breach[i]!,
    gaps: buckets.gaps[i]!,
    columns: buckets.columns.map((c) => ({ min: c.min[i]! + 0, max: c.max[i]! + 0, hole: c.holes[i] === 1 })),
  }));

/** The same by looking at every row: the oracle. */
function brute(rows: TraceRow[], buckets: TraceBuckets, toMs: number, slots: number, gapAfterMs: number): Plain[] {
  const found: Plain[] = [];
  const gapBefore = (i: number) =>
    (breachOf(rows[i]!) & 16) !== 0 || (i > 0 && msOf(rows[i]!) - msOf(rows[i - 1]!) > gapAfterMs);
  rows.forEach((row, i) => {
    const ms = msOf(row);
    if (ms < buckets.fromMs || ms >= toMs) return;
    let slot = found.at(-1)?.slot ?? 0;
    while (slot < slots - 1 && slotStartMs(buckets, slot + 1) <= ms) slot++;
    const gap = gapBefore(i);
    const values = Array.from({ length: COLUMN_COUNT }, (_, c) => readingOf(row, c) + 0);
    const last = found.at(-1);
    if (last?.slot !== slot) {
      found.push({
        slot,
        firstMs: ms,
        lastMs: ms,
        rows: 1,
        breach: breachOf(row),
        gaps: gap ? GAP_BEFORE : 0,
        columns: values.map((v) => ({ min: v, max: v, hole: Number.isNaN(v) })),
      });
      return;
    }
    last.lastMs = ms;
    last.rows++;
    last.breach |= breachOf(row);
    if (gap) last.gaps |= GAP_INSIDE;
    last.columns.forEach((column, c) => {
      const v = values[c]!;
      if (Number.isNaN(v)) column.hole = true;
      else {
        column.min = Number.isNaN(column.min) ? v : Math.min(column.min, v);
        column.max = Number.isNaN(column.max) ? v : Math.max(column.max, v);
      }
    });
  });
  return found;
}

const range = fc.record({
  from: fc.double({ min: -0.2, max: 1.1, noNaN: true }),
  length: fc.double({ min: 0, max: 1.4, noNaN: true }),
  buckets: fc.integer({ min: 1, max: 400 }),
});

function spanOf(rows: TraceRow[], part: { from: number; length: number }): { fromMs: number; toMs: number } {
  const start = msOf(rows[0]!);
  const length = Math.max(1, msOf(rows.at(-1)!) - start);
  const fromMs = Math.round(start + part.from * length);
  return { fromMs, toMs: fromMs + Math.round(part.length * length) };
}

describe('buckets of traces', () => {
  it('are exact: the same as looking at every row', () => {
    fc.assert(
      fc.property(runOfRows(6000), range, (rows, part) => {
        const store = storeOf(rows);
        const { fromMs, toMs } = spanOf(rows, part);
        const buckets = queryTraces(store, { fromMs, toMs, buckets: part.buckets }, VALUE_COLUMNS);
        expect(plain(buckets)).toEqual(brute(rows, buckets, toMs, part.buckets, store.gapAfterMs));
      }),
      { numRuns: 60 },
    );
  });

  it('are exact after the oldest rows were dropped', () => {
    fc.assert(
      fc.property(
        runOfRows(3000),
        fc.integer({ min: 64, max: 900 }),
        fc.integer({ min: 1, max: 90 }),
        (rows, maxRows, n) => {
          const store = storeOf(rows, { maxRows });
          const fromMs = store.sourceMs[0]!;
          const toMs = msOf(rows.at(-1)!) + 1;
          const buckets = queryTraces(store, { fromMs, toMs, buckets: n }, VALUE_COLUMNS);
          expect(plain(buckets)).toEqual(brute(rows, buckets, toMs, n, store.gapAfterMs));
        },
      ),
      { numRuns: 30 },
    );
  });

  it('no breach vanishes when zoomed out: at every zoom the bits drawn are the bits of the rows', () => {
    fc.assert(
      fc.property(runOfRows(5000), (rows) => {
        const store = storeOf(rows);
        const fromMs = msOf(rows[0]!);
        const toMs = msOf(rows.at(-1)!) + 1;
        const all = rows.reduce((bits, row) => bits | breachOf(row), 0);
        for (let buckets = 1; buckets <= 2048; buckets *= 2) {
          const drawn = queryTraces(store, { fromMs, toMs, buckets }, []);
          let bits = 0;
          for (let i = 0; i < drawn.count; i++) bits |= drawn.breach[i]!;
          expect(bits).toBe(all);
          let next = 0;
          for (let i = 0; i < drawn.count; i++) {
            let worst = 0;
            for (const end = next + drawn.rows[i]!; next < end; next++) worst |= breachOf(rows[next]!);
            expect(drawn.breach[i]).toBe(worst);
          }
          expect(next).toBe(rows.length);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('grow row by row to what a new query gives', () => {
    fc.assert(
      fc.property(
        runOfRows(1500),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.integer({ min: 200, max: 60_000 }),
        fc.array(fc.integer({ min: 1, max: 300 }), { minLength: 1, maxLength: 8 }),
        (rows, part, bucketMs, batches) => {
          const known = Math.max(1, Math.floor(part * rows.length));
          const store = storeOf(rows.slice(0, known));
          const grown = openBuckets(store, msOf(rows[Math.floor(known / 2)]!), bucketMs, 2000, VALUE_COLUMNS);
          for (let i = known, b = 0; i < rows.length; b++) {
            for (let n = batches[b % batches.length]!; n > 0 && i < rows.length; n--) appendRow(store, rows[i++]!);
            expect(extendBuckets(grown, store)).toBe(true);
          }
          const slots = grown.count === 0 ? 1 : grown.slot[grown.count - 1]! + 1;
          expect(plain(grown)).toEqual(brute(rows, grown, Infinity, slots, store.gapAfterMs));
        },
      ),
      { numRuns: 60 },
    );
  });

  it('ask to be made anew when they are full, or when rows were dropped before they were seen', () => {
    const row = (ms: number): TraceRow => [ms, ...new Array<number>(COLUMN_COUNT).fill(ms), 0];
    const store = storeOf([row(0)], { maxRows: 64 });
    const full = openBuckets(store, 0, 1000, 2, VALUE_COLUMNS);
    const room = full.capacity - full.count;
    for (let i = 1; i <= room; i++) appendRow(store, row(i * 1000));
    expect(extendBuckets(full, store)).toBe(true);
    appendRow(store, row((room + 1) * 1000));
    expect(extendBuckets(full, store)).toBe(false);
    const late = openBuckets(store, 0, 1000, 500, VALUE_COLUMNS);
    for (let i = room + 2; i < 300; i++) appendRow(store, row(i * 1000));
    expect(extendBuckets(late, store)).toBe(false);
  });

  it('are empty for a range that is none', () => {
    const store = storeOf([[1000, ...new Array<number>(COLUMN_COUNT).fill(1), 0]]);
    for (const [fromMs, toMs] of [
      [2000, 1000],
      [1000, 1000],
      [Number.NaN, 5000],
      [5000, 9000],
    ] as const) {
      expect(queryTraces(store, { fromMs, toMs, buckets: 10 }, VALUE_COLUMNS).count).toBe(0);
    }
  });
});
