/**
 * The panel behind its buttons: holds the window, the cursor and what is on screen, and draws at most once an animation
 * frame. It touches the page only inside the elements it is given.
 */
import { firstMs, lastMs } from '../../src/traces/traceStore.ts';
import { converter, type UnitSystem } from '../../src/units.ts';
import type { ChartState } from './chartState.ts';
import { bucketMoment, bucketReadings, readingsInWords } from './readout.ts';
import { bucketMsFor, bucketNear, noBuckets, showBuckets } from './shownBuckets.ts';
import { backToLive, hold, pan, rangeOf, type TimeRange, type TimeWindow, zoom } from './timeWindow.ts';
import { createTraceCharts, type TraceCharts } from './traceCharts.ts';
import { traceColours } from './traceColours.ts';
import type { TraceHistory } from './traceHistory.ts';
import { createTraceWords, judgedIn, type TracesElements } from './traceWords.ts';
import { columnsOf, TRACKS } from './tracks.ts';

/** Where the cursor is: under the mouse at a place, or at a moment put there by key or tap. */
type Cursor = { readonly kind: 'none' } | { readonly kind: 'mouse' | 'placed'; readonly ms: number };

export interface TracesView {
  /** Rows were added, or something that is drawn has changed: draws in the next frame. */
  refresh(): void;
  /** Draws now; for measuring. */
  drawNow(): void;
  setTheme(theme: 'light' | 'dark'): void;
  setUnits(system: UnitSystem): void;
  setOffset(offsetMs: number): void;
  /** Which pressure a window is about. */
  setJudgedAt(judgedAt: ChartState['judgedAt']): void;
  setNotes(notes: ChartState['notes']): void;
  change(to: (window: TimeWindow, held: TimeRange) => TimeWindow): void;
  zoomBy(factor: number): void;
  panBy(share: number): void;
  toLive(): void;
  /** The newest moment that is to be seen: the window ends there, as long as it was, and the cursor stands there. */
  endAt(ms: number): void;
  /** Moves the cursor by buckets on screen; from the newest when there is none. */
  moveCursor(by: number | 'first' | 'last'): void;
  placeCursor(clientX: number): void;
  clearCursor(): void;
  /** Zooms about a place on the page, by wheel or two fingers. */
  zoomAt(clientX: number, factor: number): void;
  /** Drags the shown range by CSS pixels. */
  dragBy(px: number): void;
  destroy(): void;
}

const LEAST_CELL_PX = { width: 80, height: 24 } as const;

const sizeOf = (cell: HTMLElement) => ({
  width: Math.max(LEAST_CELL_PX.width, cell.clientWidth),
  height: Math.max(LEAST_CELL_PX.height, cell.clientHeight),
});

export function createTracesView(
  elements: TracesElements,
  history: Pick<TraceHistory, 'store' | 'storeFor' | 'isCut'>,
  onWindow: (window: TimeWindow) => void,
): TracesView {
  let window: TimeWindow = { kind: 'live', span: 3_600_000 };
  let cursor: Cursor = { kind: 'none' };
  let frame = 0;
  const state: ChartState = {
    shown: noBuckets(columnsOf(TRACKS)),
    range: { fromMs: 0, toMs: 1 },
    colours: traceColours('light'),
    units: converter('metric'),
    offsetMs: 0,
    judgedAt: () => 'standpipe',
    notes: [],
  };
  let drawing = false;
  const charts: TraceCharts = createTraceCharts(elements.cells, elements.cells.map(sizeOf), TRACKS, state, {
    onCursor(ms) {
      if (drawing) return;
      cursor = ms === null ? { kind: 'none' } : { kind: 'mouse', ms };
      refresh();
    },
    onSelect: (range) => change((from, held) => hold(from, range, held)),
  });

  const words = createTraceWords(elements, state, (track, curve) => charts.scaleOf(track, curve));

  const heldRange = (): TimeRange => {
    const store = history.store();
    const toMs = lastMs(store);
    return toMs === -Infinity ? { fromMs: 0, toMs: 1 } : { fromMs: firstMs(store), toMs };
  };

  function change(to: (window: TimeWindow, held: TimeRange) => TimeWindow): void {
    const next = to(window, heldRange());
    if (next === window) return;
    window = next;
    onWindow(window);
    words.summariseSoon();
    refresh();
  }

  function refresh(): void {
    if (frame === 0) frame = requestAnimationFrame(drawNow);
  }

  function drawNow(): void {
    cancelAnimationFrame(frame);
    frame = 0;
    state.range = rangeOf(window, heldRange());
    const px = charts.plotWidth();
    const following = window.kind === 'live';
    const store = following ? history.store() : history.storeFor(state.range, bucketMsFor(state.range, px));
    if (px > 1) showBuckets(state.shown, store, state.range, px, following);
    drawing = true;
    charts.draw();
    if (cursor.kind === 'mouse') cursor = { kind: 'mouse', ms: charts.cursorMoment() ?? cursor.ms };
    else charts.placeCursor(cursor.kind === 'placed' && inSight(cursor.ms) ? cursor.ms : null);
    drawing = false;
    words.write(history.store(), window, cursorBucket(), history.isCut());
  }

  /** The bucket under the cursor, or -1; a cursor that was placed may have gone out of sight. */
  function cursorBucket(): number {
    const { buckets, middleMs } = state.shown;
    if (cursor.kind === 'none' || !buckets || !inSight(cursor.ms)) return -1;
    return bucketNear(buckets, middleMs, cursor.ms);
  }

  const inSight = (ms: number): boolean => ms >= state.range.fromMs && ms <= state.range.toMs;

  function speak(): void {
    const i = cursorBucket();
    const { buckets } = state.shown;
    if (i < 0 || !buckets) return;
    const judged = judgedIn(state, history.store(), i);
    const words = readingsInWords(bucketReadings(buckets, i, state.units, judged), state.units);
    elements.spoken.textContent = `${bucketMoment(buckets, i, state.offsetMs)}: ${words}`;
  }

  function resize(): void {
    charts.resize(elements.cells.map(sizeOf));
    refresh();
  }
  const resizing = new ResizeObserver(resize);
  for (const cell of elements.cells) resizing.observe(cell);

  refresh();

  return {
    refresh,
    drawNow,
    setTheme(theme) {
      state.colours = traceColours(theme);
      refresh();
    },
    setUnits(system) {
      state.units = converter(system);
      words.summariseSoon();
      refresh();
    },
    setJudgedAt(judgedAt) {
      state.judgedAt = judgedAt;
      refresh();
    },
    setNotes(notes) {
      state.notes = notes;
      refresh();
    },
    setOffset(offsetMs) {
      state.offsetMs = offsetMs;
      refresh();
    },
    change,
    zoomBy: (factor) =>
      change((from, held) => zoom(from, factor, held, cursor.kind === 'placed' ? cursor.ms : undefined)),
    panBy: (share) => change((from, held) => pan(from, share, held)),
    toLive: () => change(backToLive),
    endAt(ms) {
      const { fromMs, toMs } = rangeOf(window, heldRange());
      const liveSpan = window.kind === 'live' ? window.span : window.liveSpan;
      cursor = { kind: 'placed', ms };
      change(() => ({ kind: 'held', fromMs: ms - (toMs - fromMs), toMs: ms, liveSpan }));
    },
    moveCursor(by) {
      const { buckets, middleMs } = state.shown;
      if (!buckets || buckets.count === 0) return;
      const first = bucketNear(buckets, middleMs, state.range.fromMs);
      const last = bucketNear(buckets, middleMs, state.range.toMs);
      const from = cursorBucket() < 0 ? last + 1 : cursorBucket();
      const to = by === 'first' ? first : by === 'last' ? last : Math.max(first, Math.min(last, from + by));
      cursor = { kind: 'placed', ms: middleMs[to]! };
      speak();
      refresh();
    },
    placeCursor(clientX) {
      cursor = { kind: 'placed', ms: charts.momentAt(clientX) };
      speak();
      refresh();
    },
    clearCursor() {
      cursor = { kind: 'none' };
      elements.spoken.textContent = '';
      refresh();
    },
    zoomAt: (clientX, factor) => change((from, held) => zoom(from, factor, held, charts.momentAt(clientX))),
    dragBy(px) {
      const share = -px / Math.max(1, charts.plotWidth());
      change((from, held) => pan(from, share, held));
    },
    destroy() {
      cancelAnimationFrame(frame);
      resizing.disconnect();
      charts.destroy();
    },
  };
}
