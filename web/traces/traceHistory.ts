/**
 * The rows that the page holds: what the service has kept, then every live row. The service is asked once for the whole
 * run, coarsely, and for its last hours, finely. A stretch that is looked at more closely than it was fetched is fetched
 * again; a gap in the live rows has everything fetched again, since the service may hold what this page missed.
 *
 *   loading ──fetched──▶ ready ──a gap in the live rows──▶ loading
 *      └────failed──▶ failed ──after a while──▶ loading
 */
import type { TraceRow } from '../../src/live/messages.ts';
import { appendRow, createTraceStore, lastMs, rowCount, type TraceStore } from '../../src/traces/traceStore.ts';
import { appendRows, type TraceRows } from '../../src/traces/traceWire.ts';
import type { FetchTraces } from './fetchTraces.ts';
import type { TimeRange } from './timeWindow.ts';

export const HISTORY_LIMITS = {
  /** Buckets asked for at a time. */
  buckets: 2000,
  /** The last stretches of a long run that are fetched more finely, ms. */
  finerMs: [6 * 3_600_000, 3_600_000],
  /** Live rows kept while the history is on its way. */
  waitingRows: 100_000,
  retryMs: 5_000,
  /** At least so long between two fetches that gaps cause. */
  refetchMs: 10_000,
  /** Rows that stand for more than this share of a bucket on screen are asked for again, finer. */
  coarsest: 0.5,
} as const;

/** Later than any row: the service cuts a range to what it holds. */
const EVER_MS = 8.64e15;

export type HistoryState = 'loading' | 'ready' | 'failed';

export interface TraceHistory {
  /** Everything that the page holds. Another object after a fetch. */
  store(): TraceStore;
  /** What to draw a held range from at this length of bucket: `store`, or finer rows of it once they are here. */
  storeFor(range: TimeRange, bucketMs: number): TraceStore;
  state(): HistoryState;
  /** The run began before the first row that is held: the oldest have been dropped, here or by the service. */
  isCut(): boolean;
  addRows(rows: readonly TraceRow[]): void;
  /** Another run: forget everything and fetch. */
  restart(gapAfterMs: number): void;
  stop(): void;
}

/** From `fromMs` on, rows stand for `bucketMs` of time; 0: they are all there. */
interface Tier {
  readonly fromMs: number;
  readonly bucketMs: number;
}

interface Fetched {
  readonly store: TraceStore;
  readonly tiers: readonly Tier[];
  readonly cut: boolean;
}

/** Fetches the run, and its last stretches finer, and joins them at bounds of buckets so that nothing is lost or twice. */
async function fetchRun(fetchRows: FetchTraces, signal: AbortSignal, store: TraceStore): Promise<Fetched> {
  const parts: TraceRows[] = [await fetchRows({ fromMs: 0, toMs: EVER_MS }, HISTORY_LIMITS.buckets, signal)];
  const starts: number[] = [-Infinity];
  for (const finerMs of HISTORY_LIMITS.finerMs) {
    const part = parts[parts.length - 1]!;
    if (part.exact || part.count === 0) break;
    const start = starts[starts.length - 1]!;
    const first = start === -Infinity ? part.sourceMs[0]! : start;
    const slot = Math.floor((part.sourceMs[part.count - 1]! - finerMs - first) / part.bucketMs);
    if (slot <= 0) continue;
    const fromMs = Math.ceil(first + slot * part.bucketMs);
    parts.push(await fetchRows({ fromMs, toMs: EVER_MS }, HISTORY_LIMITS.buckets, signal));
    starts.push(fromMs);
  }
  parts.forEach((part, i) => {
    appendRows(store, part, starts[i + 1] ?? Infinity);
  });
  const tiers = parts.map((part, i) => ({ fromMs: starts[i]!, bucketMs: part.exact ? 0 : part.bucketMs }));
  return { store, tiers: [...tiers, { fromMs: lastMs(store), bucketMs: 0 }], cut: parts[0]!.cut };
}

export function createTraceHistory(
  fetchRows: FetchTraces,
  changed: () => void,
  clockMs: () => number = () => performance.now(),
): TraceHistory {
  let gapAfterMs = 0;
  let held: Fetched = { store: createTraceStore(), tiers: [], cut: false };
  let detail: { readonly range: TimeRange; readonly store: TraceStore } | undefined;
  let detailAsked = '';
  let waiting: TraceRow[] = [];
  let state: HistoryState = 'ready';
  let fetchedAtMs = -Infinity;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let abort = new AbortController();

  const empty = () => createTraceStore(gapAfterMs > 0 ? { gapAfterMs } : {});

  async function load(): Promise<void> {
    const { signal } = abort;
    state = 'loading';
    fetchedAtMs = clockMs();
    try {
      const fetched = await fetchRun(fetchRows, signal, empty());
      if (signal.aborted) return;
      for (const row of waiting) appendRow(fetched.store, row);
      held = fetched;
      waiting = [];
      detail = undefined;
      detailAsked = '';
      state = 'ready';
    } catch (fault) {
      if (signal.aborted) return;
      console.warn(String(fault));
      state = 'failed';
      timer = setTimeout(() => void load(), HISTORY_LIMITS.retryMs);
    }
    changed();
  }

  async function loadDetail(range: TimeRange): Promise<void> {
    const { signal } = abort;
    const of = held;
    try {
      const rows = await fetchRows(range, HISTORY_LIMITS.buckets, signal);
      if (signal.aborted || of !== held) return;
      const store = empty();
      appendRows(store, rows);
      detail = { range, store };
      changed();
    } catch (fault) {
      if (!signal.aborted) console.warn(String(fault));
    }
  }

  function finer(range: TimeRange, bucketMs: number): TraceStore {
    const tooLong = detail && detail.range.toMs - detail.range.fromMs > 4 * (range.toMs - range.fromMs);
    if (detail && !tooLong && detail.range.fromMs <= range.fromMs && detail.range.toMs >= range.toMs) {
      const missing = lastMs(held.store) > lastMs(detail.store) && lastMs(detail.store) < range.toMs - bucketMs;
      return missing && range.toMs >= lastMs(held.store) ? held.store : detail.store;
    }
    const wide = (range.toMs - range.fromMs) / 2;
    const ask = { fromMs: Math.max(0, range.fromMs - wide), toMs: range.toMs + wide };
    const key = `${ask.fromMs} ${ask.toMs}`;
    if (key !== detailAsked) {
      detailAsked = key;
      void loadDetail(ask);
    }
    return held.store;
  }

  return {
    store: () => held.store,
    state: () => state,
    isCut: () => held.cut || held.store.dropped > 0,
    storeFor(range, bucketMs) {
      let coarseMs = 0;
      for (const tier of held.tiers) if (tier.fromMs <= range.fromMs) coarseMs = tier.bucketMs;
      return coarseMs <= HISTORY_LIMITS.coarsest * bucketMs ? held.store : finer(range, bucketMs);
    },
    addRows(rows) {
      for (const row of rows) {
        const late = rowCount(held.store) > 0 && (row[0] ?? 0) - lastMs(held.store) > held.store.gapAfterMs;
        appendRow(held.store, row);
        if (late && state === 'ready' && clockMs() - fetchedAtMs > HISTORY_LIMITS.refetchMs) void load();
        if (state !== 'ready' && waiting.length < HISTORY_LIMITS.waitingRows) waiting.push(row);
      }
    },
    restart(after) {
      abort.abort();
      abort = new AbortController();
      clearTimeout(timer);
      gapAfterMs = after;
      held = { store: empty(), tiers: [], cut: false };
      detail = undefined;
      waiting = [];
      void load();
    },
    stop() {
      abort.abort();
      clearTimeout(timer);
    },
  };
}
