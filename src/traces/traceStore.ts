/**
 * The rows of the traces, kept as typed-array columns with a pyramid of buckets above them: level 0 holds the
 * rows, an entry of level k sums up 8^k of them. A bucket keeps the least and the greatest value of each column, every
 * limit that any of its rows broke, and where nothing is known, so that no way of zooming out can lose any of these.
 *
 * Times are ms since 1970 UTC, strictly increasing; values are in inside units, rounded to 32 bits (2,500 m to 0.0002 m).
 */
import { BREACHES, TRACE_COLUMNS, type TraceColumn, type TraceRow } from './traceColumns.ts';

export type ValueColumn = Exclude<TraceColumn, 'sourceMs' | 'breach'>;
export const VALUE_COLUMNS = TRACE_COLUMNS.filter((c): c is ValueColumn => c !== 'sourceMs' && c !== 'breach');
/** Position of each value column in the store, and its bit in `TraceLevel.holes`. */
export const VALUE_INDEX = Object.fromEntries(VALUE_COLUMNS.map((c, i) => [c, i])) as Record<ValueColumn, number>;

export const TRACE_LIMITS = {
  /** 96 h at 1 Hz, a trip of three days and a third of it again; the oldest go first. See `storeBytes` for their size. */
  rows: 96 * 3_600,
  /** A step in time that breaks the line where the plan does not say, ms. */
  gapAfterMs: 5_000,
} as const;

/** Entries of one level that make one entry of the next. */
const FACTOR = 8;
const MOST_LEVELS = 5;
const FIRST_CAPACITY = 1024;

/** Bits of `TraceLevel.gaps`: nothing is known just before the first row of the entry, or between two of its rows. */
export const GAP_BEFORE = 1;
export const GAP_INSIDE = 2;

export interface TraceLevel {
  /** Rows that one entry sums up. */
  readonly rowsPerEntry: number;
  count: number;
  capacity: number;
  /** By value column; NaN where no row of the entry has a value. At level 0 `min` and `max` are the same arrays. */
  min: Float32Array[];
  max: Float32Array[];
  /** Every bit of `BREACHES` that a row of the entry carries. */
  breach: Uint8Array;
  gaps: Uint8Array;
  /** Bit i: some row of the entry has no value in value column i. */
  holes: Uint16Array;
}

export interface TraceStore {
  readonly maxRows: number;
  readonly gapAfterMs: number;
  readonly room: TraceRoom;
  /** Rows dropped at once when the store is full: a whole entry of the highest level, so that all levels stay aligned. */
  readonly dropRows: number;
  /** Rows dropped so far: row i of the store is row `dropped + i` of the run. */
  dropped: number;
  sourceMs: Float64Array;
  readonly levels: readonly TraceLevel[];
}

/**
 * `growing`: columns double as they fill, for a store that may stay small. `whole`: the first row makes all columns as long
 * as they will ever be and writes to every page of them, so that a long run takes no more memory than a short one.
 */
export type TraceRoom = 'growing' | 'whole';

export interface TraceStoreOptions {
  /** At least 8. */
  readonly maxRows?: number;
  readonly gapAfterMs?: number;
  readonly room?: TraceRoom;
}

export function createTraceStore(options: TraceStoreOptions = {}): TraceStore {
  const maxRows = Math.max(FACTOR, Math.floor(options.maxRows ?? TRACE_LIMITS.rows));
  const levels = [createLevel(1)];
  for (let rows = FACTOR; levels.length <= MOST_LEVELS && rows * FACTOR <= maxRows; rows *= FACTOR) {
    levels.push(createLevel(rows));
  }
  return {
    maxRows,
    gapAfterMs: options.gapAfterMs ?? TRACE_LIMITS.gapAfterMs,
    room: options.room ?? 'growing',
    dropRows: levels[levels.length - 1]!.rowsPerEntry,
    dropped: 0,
    sourceMs: new Float64Array(0),
    levels,
  };
}

/** Without room: what is added first makes it. */
function createLevel(rowsPerEntry: number): TraceLevel {
  const columns = () => VALUE_COLUMNS.map(() => new Float32Array(0));
  const min = columns();
  return {
    rowsPerEntry,
    count: 0,
    capacity: 0,
    min,
    max: rowsPerEntry === 1 ? min : columns(),
    breach: new Uint8Array(0),
    gaps: new Uint8Array(0),
    holes: new Uint16Array(0),
  };
}

/** Bytes that the columns take now. */
export function storeBytes(store: TraceStore): number {
  let bytes = store.sourceMs.byteLength;
  for (const { min, max, breach, gaps, holes } of store.levels) {
    bytes += breach.byteLength + gaps.byteLength + holes.byteLength;
    for (const column of min === max ? min : [...min, ...max]) bytes += column.byteLength;
  }
  return bytes;
}

/** Rows held now. */
export const rowCount = (store: TraceStore): number => store.levels[0]!.count;

/** Time of the last row, ms; -Infinity in an empty store. */
export function lastMs(store: TraceStore): number {
  const count = rowCount(store);
  return count === 0 ? -Infinity : store.sourceMs[count - 1]!;
}

/** Time of the first row held, ms; Infinity in an empty store. */
export const firstMs = (store: TraceStore): number => (rowCount(store) === 0 ? Infinity : store.sourceMs[0]!);

/** Index of the first row at or after `ms`; the number of rows when there is none. */
export function rowAtOrAfter(store: TraceStore, ms: number): number {
  let low = 0;
  let high = rowCount(store);
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (store.sourceMs[middle]! < ms) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * Adds one row. A value that is null, not finite or beyond 32 bits counts as not known.
 * @param gapBefore whether nothing is known between the row before and this one. Left out: so when the row says `noData`,
 *   or when more than `gapAfterMs` has passed.
 * @returns false when the row is not newer than the last one: it is not taken.
 */
export function appendRow(store: TraceStore, row: TraceRow, gapBefore?: boolean): boolean {
  const ms = row[0];
  const last = lastMs(store);
  if (typeof ms !== 'number' || !Number.isFinite(ms) || ms <= last) return false;
  if (rowCount(store) === store.maxRows) dropOldest(store);
  const rows = store.levels[0]!;
  if (rows.count === rows.capacity) makeRoom(store, rows);
  const at = rows.count;
  const breach = row[TRACE_COLUMNS.length - 1] ?? 0;
  store.sourceMs[at] = ms;
  let holes = 0;
  for (let c = 0; c < VALUE_COLUMNS.length; c++) {
    const value = Math.fround(row[c + 1] ?? Number.NaN);
    const known = Number.isFinite(value);
    rows.min[c]![at] = known ? value : Number.NaN;
    if (!known) holes |= 1 << c;
  }
  const gap = gapBefore ?? ((breach & BREACHES.noData) !== 0 || (at > 0 && ms - last > store.gapAfterMs));
  rows.breach[at] = breach;
  rows.holes[at] = holes;
  rows.gaps[at] = gap ? GAP_BEFORE : 0;
  rows.count = at + 1;
  sumUp(store);
  return true;
}

/** Closes every entry of the higher levels that the last row has completed. */
function sumUp(store: TraceStore): void {
  for (let k = 1; k < store.levels.length; k++) {
    const below = store.levels[k - 1]!;
    if (below.count % FACTOR !== 0) return;
    const level = store.levels[k]!;
    if (level.count === level.capacity) makeRoom(store, level);
    const from = below.count - FACTOR;
    const at = level.count;
    for (let c = 0; c < VALUE_COLUMNS.length; c++) {
      level.min[c]![at] = least(below.min[c]!, from, below.count);
      level.max[c]![at] = greatest(below.max[c]!, from, below.count);
    }
    let breach = 0;
    let holes = 0;
    let inside = 0;
    for (let i = from; i < below.count; i++) {
      breach |= below.breach[i]!;
      holes |= below.holes[i]!;
      inside |= i === from ? below.gaps[i]! & GAP_INSIDE : below.gaps[i]!;
    }
    level.breach[at] = breach;
    level.holes[at] = holes;
    level.gaps[at] = (below.gaps[from]! & GAP_BEFORE) | (inside ? GAP_INSIDE : 0);
    level.count = at + 1;
  }
}

/** The least number of values[from..to), NaN left out; NaN when there is none. */
function least(values: Float32Array, from: number, to: number): number {
  let found = Number.NaN;
  for (let i = from; i < to; i++) if (!(values[i]! >= found) && !Number.isNaN(values[i]!)) found = values[i]!;
  return found;
}

function greatest(values: Float32Array, from: number, to: number): number {
  let found = Number.NaN;
  for (let i = from; i < to; i++) if (!(values[i]! <= found) && !Number.isNaN(values[i]!)) found = values[i]!;
  return found;
}

function makeRoom(store: TraceStore, level: TraceLevel): void {
  if (store.room === 'whole') {
    for (const each of store.levels) widen(store, each, mostEntries(store, each));
  } else {
    const doubled = Math.max(FIRST_CAPACITY / Math.min(FACTOR, level.rowsPerEntry), level.capacity * 2);
    widen(store, level, Math.min(mostEntries(store, level), doubled));
  }
}

const mostEntries = (store: TraceStore, level: TraceLevel): number => Math.floor(store.maxRows / level.rowsPerEntry);

/** Every item of the new columns is written to: only then does the system give the memory that it promised. */
function widen(store: TraceStore, level: TraceLevel, capacity: number): void {
  const copied = <Column extends Float64Array | Float32Array | Uint16Array | Uint8Array>(
    wide: Column,
    column: Column,
  ): Column => {
    wide.set(column);
    wide.fill(0, column.length);
    return wide;
  };
  const values = (column: Float32Array) => copied(new Float32Array(capacity), column);
  const same = level.min === level.max;
  level.min = level.min.map(values);
  level.max = same ? level.min : level.max.map(values);
  level.breach = copied(new Uint8Array(capacity), level.breach);
  level.gaps = copied(new Uint8Array(capacity), level.gaps);
  level.holes = copied(new Uint16Array(capacity), level.holes);
  level.capacity = capacity;
  if (level.rowsPerEntry === 1) store.sourceMs = copied(new Float64Array(capacity), store.sourceMs);
}

function dropOldest(store: TraceStore): void {
  store.sourceMs.copyWithin(0, store.dropRows);
  for (const level of store.levels) {
    const entries = store.dropRows / level.rowsPerEntry;
    for (const column of level.min) column.copyWithin(0, entries);
    if (level.max !== level.min) for (const column of level.max) column.copyWithin(0, entries);
    level.breach.copyWithin(0, entries);
    level.gaps.copyWithin(0, entries);
    level.holes.copyWithin(0, entries);
    level.count -= entries;
  }
  store.dropped += store.dropRows;
}
