/**
 * Traces as bytes, version 1, little endian:
 *
 *   0  u8   version (1)
 *   1  u8   1: the rows are all the rows of the range, 0: they stand for buckets of it; + 2: the oldest of the run are gone
 *   2  u16  number of value columns
 *   4  u32  number of rows, n
 *   8  f64  length of a bucket, ms (0 for all rows)
 *  16  f64 × n  times;  then f32 × n for each value column (NaN: not known);  then u8 × n breach;  u8 × n gap before
 *
 * A bucket becomes two rows, its least values at its first time and its greatest at its last, with a third row between
 * them where one of its columns has a hole. Appended to a store they give the same buckets again.
 */

import { MOST_BUCKETS, queryTraces, type TraceBuckets, type TraceQuery } from './traceBuckets.ts';
import { BREACHES, type TraceRow } from './traceColumns.ts';
import {
  appendRow,
  firstMs,
  GAP_BEFORE,
  GAP_INSIDE,
  lastMs,
  rowAtOrAfter,
  type TraceStore,
  VALUE_COLUMNS,
} from './traceStore.ts';

const VERSION = 1;
const HEAD_BYTES = 16;
const ROWS_A_BUCKET = 3;
const ROW_BYTES = 8 + 4 * VALUE_COLUMNS.length + 2;
const KNOWN_BREACHES = Object.values(BREACHES).reduce((all, bit) => all | bit, 0);

export const WIRE_LIMITS = { rows: MOST_BUCKETS * ROWS_A_BUCKET } as const;

export interface TraceRows {
  readonly kind: 'rows';
  /** Whether these are all the rows of the range, or two or three for each bucket of it. */
  readonly exact: boolean;
  /** The run began before the first row that is held: the oldest have been dropped. */
  readonly cut: boolean;
  readonly bucketMs: number;
  readonly count: number;
  readonly sourceMs: Float64Array;
  /** In the order of `VALUE_COLUMNS`. */
  readonly values: readonly Float32Array[];
  readonly breach: Uint8Array;
  readonly gapBefore: Uint8Array;
}
export type DecodedTraces = TraceRows | { readonly kind: 'bad'; readonly reason: string };

const room = (count: number, exact: boolean, bucketMs: number, cut: boolean): TraceRows => ({
  kind: 'rows',
  exact,
  cut,
  bucketMs,
  count,
  sourceMs: new Float64Array(count),
  values: VALUE_COLUMNS.map(() => new Float32Array(count)),
  breach: new Uint8Array(count),
  gapBefore: new Uint8Array(count),
});

/** The rows of [fromMs, toMs) as bytes: all of them where there are no more than `buckets`, else those of the buckets. */
export function encodeTraces(store: TraceStore, query: TraceQuery): Uint8Array {
  const fromMs = Math.max(query.fromMs, firstMs(store));
  const toMs = Math.min(query.toMs, lastMs(store) + 1);
  const from = rowAtOrAfter(store, fromMs);
  const to = Math.max(from, rowAtOrAfter(store, toMs));
  const parts = Math.max(1, Math.min(MOST_BUCKETS, Math.floor(query.buckets) || 1));
  if (to - from <= parts) return toBytes(allRows(store, from, to));
  const buckets = queryTraces(store, { fromMs, toMs, buckets: parts }, VALUE_COLUMNS);
  return toBytes(rowsOfBuckets(buckets, store.dropped > 0));
}

function allRows(store: TraceStore, from: number, to: number): TraceRows {
  const rows = room(to - from, true, 0, store.dropped > 0);
  const level = store.levels[0]!;
  rows.sourceMs.set(store.sourceMs.subarray(from, to));
  rows.values.forEach((column, c) => {
    column.set(level.min[c]!.subarray(from, to));
  });
  rows.breach.set(level.breach.subarray(from, to));
  rows.gapBefore.set(level.gaps.subarray(from, to));
  return rows;
}

function rowsOfBuckets(buckets: TraceBuckets, cut: boolean): TraceRows {
  const holed = (i: number) => buckets.rows[i]! > 1 && buckets.columns.some((column) => column.holes[i] === 1);
  let count = 0;
  for (let i = 0; i < buckets.count; i++) count += buckets.rows[i] === 1 ? 1 : holed(i) ? 3 : 2;
  const rows = room(count, false, buckets.bucketMs, cut);
  let at = 0;
  for (let i = 0; i < buckets.count; i++) {
    const first = buckets.firstMs[i]!;
    const last = buckets.lastMs[i]!;
    putRow(rows, at++, first, buckets, i, 'min', (buckets.gaps[i]! & GAP_BEFORE) !== 0);
    if (buckets.rows[i] === 1) continue;
    if (holed(i)) putRow(rows, at++, first + (last - first) / 2, buckets, i, 'hole', false);
    putRow(rows, at++, last, buckets, i, 'max', (buckets.gaps[i]! & GAP_INSIDE) !== 0);
  }
  return rows;
}

function putRow(
  rows: TraceRows,
  at: number,
  ms: number,
  buckets: TraceBuckets,
  i: number,
  which: 'min' | 'hole' | 'max',
  gapBefore: boolean,
): void {
  rows.sourceMs[at] = ms;
  rows.breach[at] = buckets.breach[i]!;
  rows.gapBefore[at] = gapBefore ? 1 : 0;
  buckets.columns.forEach((column, c) => {
    const hole = which === 'hole' && column.holes[i] === 1;
    rows.values[c]![at] = hole ? Number.NaN : which === 'max' ? column.max[i]! : column.min[i]!;
  });
}

function toBytes(rows: TraceRows): Uint8Array {
  const bytes = new Uint8Array(HEAD_BYTES + rows.count * ROW_BYTES);
  const view = new DataView(bytes.buffer);
  view.setUint8(0, VERSION);
  view.setUint8(1, (rows.exact ? 1 : 0) + (rows.cut ? 2 : 0));
  view.setUint16(2, VALUE_COLUMNS.length, true);
  view.setUint32(4, rows.count, true);
  view.setFloat64(8, rows.bucketMs, true);
  let at = HEAD_BYTES;
  for (let i = 0; i < rows.count; i++, at += 8) view.setFloat64(at, rows.sourceMs[i]!, true);
  for (const column of rows.values) {
    for (let i = 0; i < rows.count; i++, at += 4) view.setFloat32(at, column[i]!, true);
  }
  bytes.set(rows.breach, at);
  bytes.set(rows.gapBefore, at + rows.count);
  return bytes;
}

/** Reads what `encodeTraces` wrote. Never throws: bytes that cannot be meant come back as `bad` with the reason. */
export function decodeTraces(bytes: Uint8Array): DecodedTraces {
  const bad = (reason: string): DecodedTraces => ({ kind: 'bad', reason });
  if (bytes.length < HEAD_BYTES) return bad(`found ${bytes.length} bytes, expected at least ${HEAD_BYTES}`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint8(0) !== VERSION) return bad(`found version ${view.getUint8(0)}, expected ${VERSION}`);
  const marks = view.getUint8(1);
  if (marks > 3) return bad(`found ${marks} for "all rows" and "the oldest are gone", expected 0 to 3`);
  const columns = view.getUint16(2, true);
  if (columns !== VALUE_COLUMNS.length) return bad(`found ${columns} columns, expected ${VALUE_COLUMNS.length}`);
  const count = view.getUint32(4, true);
  if (count > WIRE_LIMITS.rows) return bad(`found ${count} rows, expected at most ${WIRE_LIMITS.rows}`);
  const expected = HEAD_BYTES + count * ROW_BYTES;
  if (bytes.length !== expected) return bad(`found ${bytes.length} bytes, expected ${expected}`);
  const bucketMs = view.getFloat64(8, true);
  if (!(bucketMs >= 0 && bucketMs < Infinity)) return bad(`found bucket length ${bucketMs}, expected 0 or more`);
  const rows = room(count, (marks & 1) !== 0, bucketMs, (marks & 2) !== 0);
  readRows(rows, bytes, view);
  return problemOf(rows) ?? rows;
}

function readRows(rows: TraceRows, bytes: Uint8Array, view: DataView): void {
  let at = HEAD_BYTES;
  for (let i = 0; i < rows.count; i++, at += 8) rows.sourceMs[i] = view.getFloat64(at, true);
  for (const column of rows.values) {
    for (let i = 0; i < rows.count; i++, at += 4) column[i] = view.getFloat32(at, true);
  }
  rows.breach.set(bytes.subarray(at, at + rows.count));
  rows.gapBefore.set(bytes.subarray(at + rows.count, at + 2 * rows.count));
}

function problemOf(rows: TraceRows): DecodedTraces | undefined {
  let before = -Infinity;
  for (let i = 0; i < rows.count; i++) {
    const ms = rows.sourceMs[i]!;
    if (!(ms > before && ms < Infinity))
      return { kind: 'bad', reason: `row ${i}: found time ${ms}, expected a later one` };
    if (rows.breach[i]! & ~KNOWN_BREACHES) return { kind: 'bad', reason: `row ${i}: found breach ${rows.breach[i]}` };
    if (rows.gapBefore[i]! > 1) return { kind: 'bad', reason: `row ${i}: found gap ${rows.gapBefore[i]}` };
    before = ms;
  }
  return undefined;
}

/**
 * Appends decoded rows to a store; those that are not newer than its last, or not before `beforeMs`, are left out.
 * @returns how many were taken.
 */
export function appendRows(store: TraceStore, rows: TraceRows, beforeMs = Infinity): number {
  const row: TraceRow = new Array(VALUE_COLUMNS.length + 2).fill(null);
  let taken = 0;
  for (let i = 0; i < rows.count && rows.sourceMs[i]! < beforeMs; i++) {
    row[0] = rows.sourceMs[i]!;
    for (let c = 0; c < VALUE_COLUMNS.length; c++) row[c + 1] = rows.values[c]![i]!;
    row[VALUE_COLUMNS.length + 1] = rows.breach[i]!;
    if (appendRow(store, row, rows.gapBefore[i] === 1)) taken++;
  }
  return taken;
}
