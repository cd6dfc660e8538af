/**
 * Buckets of rows, ready to be drawn: one entry for each bucket that holds a row, exact whatever the zoom. The entries
 * of one view can be added to row by row, so that one more sample costs one bucket and not a new query.
 */
import {
  GAP_INSIDE,
  lastMs,
  rowAtOrAfter,
  rowCount,
  type TraceStore,
  VALUE_INDEX,
  type ValueColumn,
} from './traceStore.ts';

export interface BucketColumn {
  readonly name: ValueColumn;
  /** Least and greatest value of the bucket; NaN when none of its rows has one. */
  readonly min: Float32Array;
  readonly max: Float32Array;
  /** 1: some row of the bucket has no value here. */
  readonly holes: Uint8Array;
}

export interface TraceBuckets {
  readonly fromMs: number;
  readonly bucketMs: number;
  readonly capacity: number;
  /** Buckets that hold a row. Only the first `count` items of each array mean anything. */
  count: number;
  /** The bucket's place: it covers [fromMs + slot × bucketMs, fromMs + (slot + 1) × bucketMs). */
  readonly slot: Int32Array;
  /** Times of its first and last row, ms. */
  readonly firstMs: Float64Array;
  readonly lastMs: Float64Array;
  readonly rows: Uint32Array;
  readonly breach: Uint8Array;
  /** `GAP_BEFORE`, `GAP_INSIDE`: where nothing is known, in front of its first row or between two of its rows. */
  readonly gaps: Uint8Array;
  readonly columns: readonly BucketColumn[];
  /** Number within the run of the first row that is not in a bucket yet. */
  nextRow: number;
}

export interface TraceQuery {
  /** The range [fromMs, toMs), cut into `buckets` parts of equal length. */
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

/** The most buckets that one query may ask for: two for each dot of the widest screens made. */
export const MOST_BUCKETS = 16_384;

/** Open buckets have no last slot but that which its array can hold. */
const LAST_SLOT = 2 ** 31 - 1;

/** Where slot `slot` begins, ms: the one place that says it. */
export const slotStartMs = (buckets: { fromMs: number; bucketMs: number }, slot: number): number =>
  buckets.fromMs + slot * buckets.bucketMs;

export function createBuckets(
  fromMs: number,
  bucketMs: number,
  capacity: number,
  columns: readonly ValueColumn[],
): TraceBuckets {
  return {
    fromMs,
    bucketMs,
    capacity,
    count: 0,
    slot: new Int32Array(capacity),
    firstMs: new Float64Array(capacity),
    lastMs: new Float64Array(capacity),
    rows: new Uint32Array(capacity),
    breach: new Uint8Array(capacity),
    gaps: new Uint8Array(capacity),
    columns: columns.map((name) => ({
      name,
      min: new Float32Array(capacity),
      max: new Float32Array(capacity),
      holes: new Uint8Array(capacity),
    })),
    nextRow: 0,
  };
}

/** The rows of a time range in buckets. Empty when the range holds no row, or is no range. */
export function queryTraces(store: TraceStore, query: TraceQuery, columns: readonly ValueColumn[]): TraceBuckets {
  const parts = Math.max(1, Math.min(MOST_BUCKETS, Math.floor(query.buckets) || 1));
  const length = query.toMs - query.fromMs;
  const buckets = createBuckets(query.fromMs, length > 0 ? length / parts : 1, parts, columns);
  if (length > 0) fill(buckets, store, parts, rowAtOrAfter(store, query.toMs));
  return buckets;
}

function fill(buckets: TraceBuckets, store: TraceStore, parts: number, end: number): void {
  const runs = runRoom(store);
  let row = rowAtOrAfter(store, buckets.fromMs);
  while (row < end) {
    const slot = slotOf(buckets, store.sourceMs[row]!, parts - 1);
    const next = slot === parts - 1 ? end : Math.min(end, rowAtOrAfter(store, slotStartMs(buckets, slot + 1)));
    pushRows(buckets, store, runs, slot, row, next);
    row = next;
  }
  buckets.nextRow = store.dropped + end;
}

/** The slot whose range holds `ms`; a division may land one beside it, so it is checked against the bounds. */
function slotOf(buckets: TraceBuckets, ms: number, last: number): number {
  let slot = Math.min(last, Math.max(0, Math.floor((ms - buckets.fromMs) / buckets.bucketMs)));
  while (slot > 0 && slotStartMs(buckets, slot) > ms) slot--;
  while (slot < last && slotStartMs(buckets, slot + 1) <= ms) slot++;
  return slot;
}

/** What makes up a stretch of rows, in order: entries [from, to) of a level, run after run. */
interface Runs {
  count: number;
  readonly level: Uint8Array;
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** One run of each level on the way up, one on the way down. */
const runRoom = (store: TraceStore): Runs => {
  const most = 2 * store.levels.length;
  return { count: 0, level: new Uint8Array(most), from: new Int32Array(most), to: new Int32Array(most) };
};

/** Covers rows [from, to) with the largest entries that fit. */
function cover(runs: Runs, store: TraceStore, from: number, to: number): void {
  runs.count = 0;
  for (let row = from; row < to; ) {
    let k = 0;
    while (k + 1 < store.levels.length) {
      const above = store.levels[k + 1]!;
      if (row % above.rowsPerEntry !== 0 || row + above.rowsPerEntry > to) break;
      if (row / above.rowsPerEntry >= above.count) break;
      k++;
    }
    const { rowsPerEntry } = store.levels[k]!;
    const entry = row / rowsPerEntry;
    const last = runs.count - 1;
    if (last < 0 || runs.level[last] !== k) {
      runs.level[runs.count] = k;
      runs.from[runs.count++] = entry;
    }
    runs.to[runs.count - 1] = entry + 1;
    row += rowsPerEntry;
  }
}

/** Adds one bucket made of rows [from, to) of the store. */
function pushRows(buckets: TraceBuckets, store: TraceStore, runs: Runs, slot: number, from: number, to: number): void {
  const at = buckets.count++;
  cover(runs, store, from, to);
  let breach = 0;
  let holes = 0;
  let gaps = 0;
  for (let n = 0; n < runs.count; n++) {
    const level = store.levels[runs.level[n]!]!;
    for (let entry = runs.from[n]!; entry < runs.to[n]!; entry++) {
      breach |= level.breach[entry]!;
      holes |= level.holes[entry]!;
      if (n === 0 && entry === runs.from[0]) gaps = level.gaps[entry]!;
      else if (level.gaps[entry] !== 0) gaps |= GAP_INSIDE;
    }
  }
  buckets.slot[at] = slot;
  buckets.firstMs[at] = store.sourceMs[from]!;
  buckets.lastMs[at] = store.sourceMs[to - 1]!;
  buckets.rows[at] = to - from;
  buckets.breach[at] = breach;
  buckets.gaps[at] = gaps;
  for (const column of buckets.columns) {
    const c = VALUE_INDEX[column.name];
    column.holes[at] = (holes >> c) & 1;
    findExtremes(column, at, store, runs, c);
  }
}

/** The hot loop of a query: NaN loses every comparison, so that entries without a value leave no trace. */
function findExtremes(column: BucketColumn, at: number, store: TraceStore, runs: Runs, c: number): void {
  let least = Infinity;
  let greatest = -Infinity;
  for (let n = 0; n < runs.count; n++) {
    const level = store.levels[runs.level[n]!]!;
    const min = level.min[c]!;
    const max = level.max[c]!;
    for (let entry = runs.from[n]!, to = runs.to[n]!; entry < to; entry++) {
      if (min[entry]! < least) least = min[entry]!;
      if (max[entry]! > greatest) greatest = max[entry]!;
    }
  }
  column.min[at] = least === Infinity ? Number.NaN : least;
  column.max[at] = greatest === -Infinity ? Number.NaN : greatest;
}

/** Works one more row into bucket `at`, which has rows already. */
function mergeRow(buckets: TraceBuckets, at: number, store: TraceStore, row: number): void {
  const rows = store.levels[0]!;
  const holes = rows.holes[row]!;
  buckets.breach[at]! |= rows.breach[row]!;
  if (rows.gaps[row] !== 0) buckets.gaps[at]! |= GAP_INSIDE;
  for (const column of buckets.columns) {
    const c = VALUE_INDEX[column.name];
    const value = rows.min[c]![row]!;
    if (holes & (1 << c)) column.holes[at] = 1;
    else {
      if (!(value >= column.min[at]!)) column.min[at] = value;
      if (!(value <= column.max[at]!)) column.max[at] = value;
    }
  }
}

/**
 * Takes in the rows that the store has got since the buckets were made.
 * @returns false when they no longer fit (a row beyond the capacity, or dropped unseen): make the buckets anew.
 */
export function extendBuckets(buckets: TraceBuckets, store: TraceStore): boolean {
  let row = buckets.nextRow - store.dropped;
  if (row < 0) return false;
  for (const end = rowCount(store); row < end; row++) {
    const ms = store.sourceMs[row]!;
    if (ms >= buckets.fromMs && !addRow(buckets, store, row, ms)) return false;
    buckets.nextRow = store.dropped + row + 1;
  }
  return true;
}

function addRow(buckets: TraceBuckets, store: TraceStore, row: number, ms: number): boolean {
  const slot = slotOf(buckets, ms, LAST_SLOT - 1);
  const last = buckets.count - 1;
  if (last < 0 || buckets.slot[last] !== slot) {
    if (buckets.count === buckets.capacity) return false;
    pushRows(buckets, store, runRoom(store), slot, row, row + 1);
    return true;
  }
  buckets.lastMs[last] = ms;
  buckets.rows[last]!++;
  mergeRow(buckets, last, store, row);
  return true;
}

/**
 * Buckets of a fixed length on a grid that does not move with the range, up to the newest row and open to more.
 * @param spare how many buckets may still be added before `extendBuckets` asks for new ones.
 */
export function openBuckets(
  store: TraceStore,
  fromMs: number,
  bucketMs: number,
  spare: number,
  columns: readonly ValueColumn[],
): TraceBuckets {
  const start = Math.floor(fromMs / bucketMs) * bucketMs;
  const parts = Math.ceil((Math.max(start, lastMs(store)) - start) / bucketMs) + 2;
  const rows = rowCount(store) - rowAtOrAfter(store, start);
  const buckets = createBuckets(start, bucketMs, Math.min(parts, rows) + spare, columns);
  fill(buckets, store, LAST_SLOT, rowCount(store));
  return buckets;
}
