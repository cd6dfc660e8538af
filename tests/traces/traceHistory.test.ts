import { afterEach, describe, expect, it, vi } from 'vitest';
import type { TraceRow } from '../../src/live/messages.ts';
import { queryTraces } from '../../src/traces/traceBuckets.ts';
import { appendRow, createTraceStore, lastMs, rowCount, type TraceStore } from '../../src/traces/traceStore.ts';
import { decodeTraces, encodeTraces } from '../../src/traces/traceWire.ts';
import { inventedRows } from '../../web/bench/inventedRows.ts';
import type { FetchTraces } from '../../web/traces/fetchTraces.ts';
import { createTraceHistory, HISTORY_LIMITS } from '../../web/traces/traceHistory.ts';

const START_MS = Date.UTC(2031, 2, 4);
const ALL = inventedRows({ rows: 60_000, startMs: START_MS, seed: 3 });

/** A service that has taken in the first `known` rows, and can be told to fail. */
function service(known: number, maxRows?: number) {
  const store = createTraceStore(maxRows === undefined ? {} : { maxRows });
  for (const row of ALL.slice(0, known)) appendRow(store, row);
  const asked: { fromMs: number; toMs: number }[] = [];
  let failing = 0;
  let gate: Promise<void> = Promise.resolve();
  const fetchRows: FetchTraces = async (range, buckets) => {
    asked.push(range);
    await gate;
    if (failing-- > 0) throw new Error('out of order');
    const rows = decodeTraces(encodeTraces(store, { ...range, buckets }));
    if (rows.kind === 'bad') throw new Error(rows.reason);
    return rows;
  };
  return {
    store,
    asked,
    fetchRows,
    fail: (times: number) => {
      failing = times;
    },
    hold: () => {
      let open = () => {};
      gate = new Promise((done) => {
        open = done;
      });
      return () => open();
    },
    add(from: number, to: number): TraceRow[] {
      const rows = ALL.slice(from, to);
      for (const row of rows) appendRow(store, row);
      return rows;
    },
  };
}

const settle = async () => {
  for (let i = 0; i < 40; i++) await Promise.resolve();
};

/** The whole run in a few buckets: what "all" shows. */
function overview(store: TraceStore): unknown {
  const buckets = queryTraces(store, { fromMs: START_MS, toMs: lastMs(store) + 1, buckets: 1 }, [
    'standpipePressure',
    'toolDepth',
  ]);
  return [buckets.breach[0], buckets.gaps[0], ...buckets.columns.map((c) => [c.min[0], c.max[0], c.holes[0]])];
}

afterEach(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
});

describe('trace history', () => {
  it('holds the whole run coarsely and its end finely, and loses no extreme, breach or hole', async () => {
    const from = service(60_000);
    const history = createTraceHistory(from.fetchRows, () => {});
    history.restart(5000);
    await settle();
    expect(history.state()).toBe('ready');
    expect(rowCount(history.store())).toBeLessThan(16_000);
    expect(overview(history.store())).toEqual(overview(from.store));
    history.stop();
  });

  it('knows that the run began before what is held, told by the service or dropped here', async () => {
    for (const [maxRows, cut] of [
      [undefined, false],
      [600, true],
    ] as const) {
      const from = service(1000, maxRows);
      const history = createTraceHistory(from.fetchRows, () => {});
      history.restart(5000);
      await settle();
      expect([maxRows, history.isCut()]).toEqual([maxRows, cut]);
      history.stop();
    }
  });

  it('keeps live rows that come while the history is on its way, each once', async () => {
    const from = service(1000);
    const open = from.hold();
    const history = createTraceHistory(from.fetchRows, () => {});
    history.restart(5000);
    history.addRows(from.add(1000, 1010));
    open();
    await settle();
    history.addRows(from.add(1010, 1020));
    expect(rowCount(history.store())).toBe(1020);
    expect(lastMs(history.store())).toBe(ALL[1019]![0]);
    history.stop();
  });

  it('fetches again what it missed: a gap in the live rows is filled from the service', async () => {
    const from = service(500);
    let clock = 0;
    const history = createTraceHistory(
      from.fetchRows,
      () => {},
      () => clock,
    );
    history.restart(5000);
    await settle();
    from.add(500, 700);
    clock += HISTORY_LIMITS.refetchMs + 1;
    history.addRows(from.add(700, 701));
    await settle();
    expect(rowCount(history.store())).toBe(701);
    expect([...history.store().levels[0]!.gaps.subarray(0, 701)].some((gap) => gap !== 0)).toBe(false);
    history.stop();
  });

  it('fetches a held stretch again, finer, once', async () => {
    const from = service(60_000);
    const changed = vi.fn();
    const history = createTraceHistory(from.fetchRows, changed);
    history.restart(5000);
    await settle();
    const asked = from.asked.length;
    const range = { fromMs: START_MS + 1_000_000, toMs: START_MS + 1_600_000 };
    expect(history.storeFor(range, 2000)).toBe(history.store());
    history.storeFor(range, 2000);
    await settle();
    expect(from.asked.length).toBe(asked + 1);
    const finer = history.storeFor(range, 2000);
    expect(finer).not.toBe(history.store());
    const exact = queryTraces(from.store, { ...range, buckets: 600 }, ['torque']);
    expect(queryTraces(finer, { ...range, buckets: 600 }, ['torque'])).toEqual({
      ...exact,
      nextRow: expect.any(Number),
    });
    expect(history.storeFor({ fromMs: START_MS, toMs: lastMs(from.store) }, 600_000)).toBe(history.store());
    history.stop();
  });

  it('tries again after a failure', async () => {
    vi.useFakeTimers();
    const warned = vi.spyOn(console, 'warn').mockImplementation(() => {});
    const from = service(300);
    from.fail(1);
    const history = createTraceHistory(from.fetchRows, () => {});
    history.restart(5000);
    await settle();
    expect(history.state()).toBe('failed');
    expect(warned).toHaveBeenCalledOnce();
    const live: TraceRow[] = from.add(300, 305);
    history.addRows(live);
    expect(rowCount(history.store())).toBe(5);
    await vi.advanceTimersByTimeAsync(HISTORY_LIMITS.retryMs);
    await settle();
    expect(history.state()).toBe('ready');
    expect(rowCount(history.store())).toBe(305);
    history.stop();
  });
});
