import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { queryTraces } from '../../src/traces/traceBuckets.ts';
import type { TraceRow } from '../../src/traces/traceColumns.ts';
import { appendRow, createTraceStore, rowCount, type TraceStore, VALUE_COLUMNS } from '../../src/traces/traceStore.ts';
import { appendRows, decodeTraces, encodeTraces, type TraceRows, WIRE_LIMITS } from '../../src/traces/traceWire.ts';
import { msOf, runOfRows } from './rows.ts';

const NEVER = 1e15;

function decoded(bytes: Uint8Array): TraceRows {
  const rows = decodeTraces(bytes);
  if (rows.kind === 'bad') throw new Error(rows.reason);
  return rows;
}

const held = (store: TraceStore) => {
  const level = store.levels[0]!;
  const n = level.count;
  return {
    ms: [...store.sourceMs.subarray(0, n)],
    values: level.min.map((column) => [...column.subarray(0, n)]),
    breach: [...level.breach.subarray(0, n)],
    gaps: [...level.gaps.subarray(0, n)],
    holes: [...level.holes.subarray(0, n)],
  };
};

describe('traces on the wire', () => {
  it('come back row by row where there are no more rows than buckets', () => {
    fc.assert(
      fc.property(runOfRows(400), (rows) => {
        const store = createTraceStore();
        for (const row of rows) appendRow(store, row);
        const wire = decoded(encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets: 400 }));
        expect(wire.exact).toBe(true);
        const again = createTraceStore();
        expect(appendRows(again, wire)).toBe(rows.length);
        expect(held(again)).toEqual(held(store));
      }),
      { numRuns: 50 },
    );
  });

  it('come back as the same buckets where there are more rows', () => {
    fc.assert(
      fc.property(runOfRows(4000), fc.integer({ min: 1, max: 120 }), (rows, buckets) => {
        const store = createTraceStore();
        for (const row of rows) appendRow(store, row);
        const wire = decoded(encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets }));
        expect(wire.exact).toBe(rows.length <= buckets);
        expect(wire.count).toBeLessThanOrEqual(3 * buckets);
        const again = createTraceStore();
        appendRows(again, wire);
        const query = { fromMs: msOf(rows[0]!), toMs: msOf(rows.at(-1)!) + 1, buckets };
        const shown = (from: TraceStore) => {
          const b = queryTraces(from, query, VALUE_COLUMNS);
          const part = (a: ArrayLike<number>) =>
            Array.from(a)
              .slice(0, b.count)
              .map((v) => v + 0);
          return {
            slots: part(b.slot),
            times: [part(b.firstMs), part(b.lastMs)],
            breach: part(b.breach),
            gaps: part(b.gaps),
            columns: b.columns.map((c) => [part(c.min), part(c.max), part(c.holes)]),
          };
        };
        expect(shown(again)).toEqual(shown(store));
      }),
      { numRuns: 60 },
    );
  });

  it('overlap without harm: rows that are not newer are left out', () => {
    fc.assert(
      fc.property(runOfRows(200), fc.nat(199), (rows, cut) => {
        const store = createTraceStore();
        for (const row of rows) appendRow(store, row);
        const page = createTraceStore();
        for (const row of rows.slice(0, Math.min(cut, rows.length))) appendRow(page, row);
        appendRows(page, decoded(encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets: 200 })));
        expect(held(page)).toEqual(held(store));
      }),
      { numRuns: 30 },
    );
  });

  it('says when the oldest rows of the run are no longer there, in every answer', () => {
    const row = (i: number): TraceRow => [1000 * (i + 1), ...new Array<number>(VALUE_COLUMNS.length).fill(i), 0];
    const store = createTraceStore({ maxRows: 64 });
    const cuts = () =>
      [4, 400]
        .map((buckets) => decoded(encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets })))
        .map(({ cut }) => cut);
    for (let i = 0; i < 64; i++) appendRow(store, row(i));
    expect(cuts()).toEqual([false, false]);
    appendRow(store, row(64));
    expect(cuts()).toEqual([true, true]);
    expect(decoded(encodeTraces(store, { fromMs: 65_000, toMs: NEVER, buckets: 400 }))).toMatchObject({
      cut: true,
      count: 1,
    });
  });

  it('an empty store is an empty answer', () => {
    const wire = decoded(encodeTraces(createTraceStore(), { fromMs: 0, toMs: NEVER, buckets: 2000 }));
    expect(wire.count).toBe(0);
    expect(rowCount(createTraceStore())).toBe(0);
  });

  it('bad bytes are a reason, never an exception', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => void decodeTraces(bytes)),
      { numRuns: 500 },
    );
    fc.assert(
      fc.property(
        runOfRows(40),
        fc.nat(),
        fc.integer({ min: 0, max: 255 }),
        fc.integer({ min: -40, max: 40 }),
        (rows, at, byte, length) => {
          const store = createTraceStore();
          for (const row of rows) appendRow(store, row);
          const good = encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets: 64 });
          const bytes = new Uint8Array(Math.max(0, good.length + length));
          bytes.set(good.subarray(0, bytes.length));
          if (bytes.length > 0) bytes[at % bytes.length] = byte;
          const wire = decodeTraces(bytes);
          if (length !== 0) expect(wire.kind).toBe('bad');
          if (wire.kind === 'bad') expect(wire.reason).toMatch(/found/);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('names what is wrong', () => {
    const store = createTraceStore();
    for (let i = 0; i < 3; i++) appendRow(store, [1000 * (i + 1), ...new Array<number>(11).fill(i), 0]);
    const good = encodeTraces(store, { fromMs: 0, toMs: NEVER, buckets: 10 });
    const spoil = (change: (view: DataView) => void) => {
      const bytes = good.slice();
      change(new DataView(bytes.buffer));
      const wire = decodeTraces(bytes);
      return wire.kind === 'bad' ? wire.reason : 'taken';
    };
    expect(spoil(() => {})).toBe('taken');
    expect(spoil((view) => view.setUint8(0, 9))).toMatch(/version 9/);
    expect(spoil((view) => view.setUint16(2, 3, true))).toMatch(/3 columns/);
    expect(spoil((view) => view.setUint32(4, WIRE_LIMITS.rows + 1, true))).toMatch(/rows/);
    expect(spoil((view) => view.setFloat64(8, Number.NaN, true))).toMatch(/bucket length/);
    expect(spoil((view) => view.setFloat64(24, 500, true))).toMatch(/row 1: found time 500/);
    expect(spoil((view) => view.setUint8(good.length - 6, 255))).toMatch(/breach 255/);
    expect(spoil((view) => view.setUint8(good.length - 1, 7))).toMatch(/gap 7/);
    expect(decodeTraces(good.subarray(0, 10)).kind).toBe('bad');
  });
});
