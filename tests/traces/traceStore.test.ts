import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BREACHES, type TraceRow } from '../../src/live/messages.ts';
import {
  appendRow,
  createTraceStore,
  firstMs,
  GAP_BEFORE,
  lastMs,
  rowAtOrAfter,
  rowCount,
  storeBytes,
  TRACE_LIMITS,
  VALUE_COLUMNS,
} from '../../src/traces/traceStore.ts';
import { COLUMN_COUNT, msOf, readingOf, runOfRows } from './rows.ts';

const row = (ms: number, value: number | null = 1, breach = 0): TraceRow => [
  ms,
  ...new Array<number | null>(COLUMN_COUNT).fill(value),
  breach,
];

describe('trace store', () => {
  it('keeps rows as they came, null as "not known"', () => {
    fc.assert(
      fc.property(runOfRows(3000), (rows) => {
        const store = createTraceStore();
        for (const each of rows) expect(appendRow(store, each)).toBe(true);
        expect(rowCount(store)).toBe(rows.length);
        rows.forEach((each, i) => {
          expect(store.sourceMs[i]).toBe(msOf(each));
          for (let c = 0; c < COLUMN_COUNT; c++) {
            if (!Object.is(store.levels[0]!.min[c]![i]! + 0, readingOf(each, c) + 0)) {
              throw new Error(`row ${i} ${VALUE_COLUMNS[c]}`);
            }
          }
        });
      }),
      { numRuns: 30 },
    );
  });

  it('refuses a row that is not newer, or has no time', () => {
    const store = createTraceStore();
    expect(appendRow(store, row(1000))).toBe(true);
    for (const ms of [1000, 999, Number.NaN, Infinity]) expect(appendRow(store, row(ms))).toBe(false);
    expect(appendRow(store, [null, 1])).toBe(false);
    expect(rowCount(store)).toBe(1);
  });

  it('takes numbers that are no readings as not known', () => {
    const store = createTraceStore();
    for (const [i, value] of [Number.NaN, Infinity, -Infinity, 1e308, null].entries()) {
      appendRow(store, row(i * 1000, value));
      expect(store.levels[0]!.min[0]![i]).toBeNaN();
      expect(store.levels[0]!.holes[i]).toBe(2 ** COLUMN_COUNT - 1);
    }
  });

  it('sees a gap in a long step of time and in a row marked noData, and not in a short step', () => {
    const store = createTraceStore({ gapAfterMs: 5000 });
    for (const each of [row(0), row(5000), row(10_001), row(11_000, 1, BREACHES.noData), row(12_000)]) {
      appendRow(store, each);
    }
    expect([...store.levels[0]!.gaps.subarray(0, 5)]).toEqual([0, 0, GAP_BEFORE, GAP_BEFORE, 0]);
  });

  it('never holds more than its limit, drops the oldest, and keeps every level of the pyramid right', () => {
    fc.assert(
      fc.property(runOfRows(2000), fc.integer({ min: 8, max: 700 }), (rows, maxRows) => {
        const store = createTraceStore({ maxRows });
        for (const each of rows) {
          appendRow(store, each);
          expect(rowCount(store)).toBeLessThanOrEqual(maxRows);
        }
        const held = rows.slice(rows.length - rowCount(store));
        expect(store.dropped + rowCount(store)).toBe(rows.length);
        expect(rowCount(store)).toBeGreaterThanOrEqual(Math.min(rows.length, maxRows - store.dropRows + 1));
        expect(firstMs(store)).toBe(msOf(held[0]!));
        expect(lastMs(store)).toBe(msOf(held.at(-1)!));
        for (const level of store.levels) {
          expect(level.count).toBe(Math.floor(held.length / level.rowsPerEntry));
          for (let e = 0; e < level.count; e++) {
            const part = held.slice(e * level.rowsPerEntry, (e + 1) * level.rowsPerEntry);
            for (let c = 0; c < COLUMN_COUNT; c++) {
              const known = part.map((each) => readingOf(each, c)).filter((v) => !Number.isNaN(v));
              const min = known.length ? Math.min(...known) : Number.NaN;
              const max = known.length ? Math.max(...known) : Number.NaN;
              if (!Object.is(level.min[c]![e]! + 0, min + 0)) throw new Error(`min of entry ${e}, column ${c}`);
              if (!Object.is(level.max[c]![e]! + 0, max + 0)) throw new Error(`max of entry ${e}, column ${c}`);
            }
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('holds the same rows whether it grows or has its whole room from the first row on, and then takes no more', () => {
    fc.assert(
      fc.property(runOfRows(2000), fc.integer({ min: 8, max: 700 }), (rows, maxRows) => {
        const growing = createTraceStore({ maxRows });
        const whole = createTraceStore({ maxRows, room: 'whole' });
        expect(storeBytes(whole)).toBe(0);
        let bytes = 0;
        rows.forEach((each, i) => {
          appendRow(growing, each);
          appendRow(whole, each);
          if (i === 0) bytes = storeBytes(whole);
        });
        expect(storeBytes(whole)).toBe(bytes);
        expect(storeBytes(growing)).toBeLessThanOrEqual(bytes);
        expect(whole.dropped).toBe(growing.dropped);
        expect(whole.sourceMs.slice(0, rowCount(whole))).toEqual(growing.sourceMs.slice(0, rowCount(growing)));
        whole.levels.forEach((level, k) => {
          const same = growing.levels[k]!;
          const held = <A extends Float32Array | Uint8Array | Uint16Array>(column: A) => column.slice(0, same.count);
          expect(level.count).toBe(same.count);
          for (const of of ['min', 'max'] as const) expect(level[of].map(held)).toEqual(same[of].map(held));
          for (const of of ['breach', 'gaps', 'holes'] as const) expect(held(level[of])).toEqual(held(same[of]));
        });
      }),
      { numRuns: 30 },
    );
  });

  it('takes 26 MB for 96 h at 1 Hz, all of it with the first row', () => {
    expect(TRACE_LIMITS.rows).toBe(96 * 3600);
    const store = createTraceStore({ room: 'whole' });
    appendRow(store, row(0));
    expect(storeBytes(store)).toBeGreaterThan(25e6);
    expect(storeBytes(store)).toBeLessThan(26e6);
  });

  it('finds the first row at or after a time', () => {
    fc.assert(
      fc.property(runOfRows(500), fc.nat(3_000_000), (rows, after) => {
        const store = createTraceStore();
        for (const each of rows) appendRow(store, each);
        const ms = msOf(rows[0]!) - 1000 + after;
        const found = rows.findIndex((each) => msOf(each) >= ms);
        expect(rowAtOrAfter(store, ms)).toBe(found < 0 ? rows.length : found);
      }),
    );
  });
});
