/**
 * The tracks on canvas: one uPlot instance a track on one time axis. uPlot brings the axes, the cursor that all tracks
 * share and the selection by drag; what is drawn between the axes comes from buckets (`trackDrawing.ts`).
 */
import uPlot from 'uplot';
import { type ChartEvents, chartOptions, momentUnderCursor } from './chartOptions.ts';
import { type ChartState, columnOf, setScales } from './chartState.ts';
import { bucketAtOrAfter } from './shownBuckets.ts';
import type { Track } from './tracks.ts';
import type { ValueScale } from './valueScale.ts';

const DASH = [6, 3];
const SPARSE_ROWS = 2;

export interface CellSize {
  readonly width: number;
  readonly height: number;
}

export interface TraceCharts {
  /** Draws all tracks for the state as it stands. */
  draw(): void;
  /** Cell i holds track i; the last track carries the time axis. */
  resize(sizes: readonly CellSize[]): void;
  /** Puts the shared cursor at a moment; null takes it away. */
  placeCursor(ms: number | null): void;
  /** The moment under the cursor, which stays where the mouse is while time moves on; null without one. */
  cursorMoment(): number | null;
  scaleOf(track: number, curve: number): ValueScale;
  /** Width of the plotted area, CSS pixels. */
  plotWidth(): number;
  /** The moment under a place on the page, ms. */
  momentAt(clientX: number): number;
  destroy(): void;
}

/** @param sizes of the cells, CSS pixels: read once by the caller, so that drawing never asks for a layout. */
export function createTraceCharts(
  cells: readonly HTMLElement[],
  sizes: readonly CellSize[],
  tracks: readonly Track[],
  state: ChartState,
  events: ChartEvents,
): TraceCharts {
  const scales: ValueScale[][] = tracks.map((track) => track.curves.map(() => ({ min: 0, max: 1, step: 1 })));
  const stretch = { from: 0, to: 0 };
  const group = uPlot.sync(`traces-${nextGroup++}`);
  const charts = tracks.map((track, t) => {
    const setup = { track, scales: scales[t]!, state, stretch, events, syncKey: group.key };
    const options = chartOptions({ ...setup, isFirst: t === 0, isLast: t === tracks.length - 1 });
    const nothing = [[0], ...track.curves.map(() => [null])] as uPlot.AlignedData;
    const chart = new uPlot({ ...options, ...sizes[t]! }, nothing, cells[t]!);
    group.sub(chart);
    return chart;
  });
  const first = charts[0]!;
  return {
    draw() {
      findStretch(state, stretch);
      tracks.forEach((track, t) => {
        setScales(track, scales[t]!, state, stretch, charts[t]!.height);
      });
      charts.forEach((chart, t) => {
        drawOne(chart, tracks[t]!, state);
      });
    },
    resize(changed) {
      charts.forEach((chart, t) => {
        const size = changed[t]!;
        if (chart.width !== size.width || chart.height !== size.height) chart.setSize(size);
      });
    },
    placeCursor(ms) {
      const left = ms === null ? -10 : first.valToPos(ms, 'x');
      for (const chart of charts) chart.setCursor({ left, top: ms === null ? -10 : 1 }, false);
    },
    cursorMoment: () => momentUnderCursor(first),
    scaleOf: (track, curve) => scales[track]![curve]!,
    plotWidth: () => first.bbox.width / uPlot.pxRatio,
    momentAt: (clientX) => first.posToVal(clientX - first.over.getBoundingClientRect().left, 'x'),
    destroy() {
      for (const chart of charts) {
        group.unsub(chart);
        chart.destroy();
      }
    },
  };
}

let nextGroup = 0;

/** The buckets that the range needs, with one more on each side so that lines run to the edges. */
function findStretch(state: ChartState, stretch: { from: number; to: number }): void {
  const buckets = state.shown.buckets;
  if (!buckets) return;
  stretch.from = Math.max(0, bucketAtOrAfter(buckets, state.range.fromMs) - 1);
  stretch.to = Math.min(buckets.count, bucketAtOrAfter(buckets, state.range.toMs) + 2);
}

function drawOne(chart: uPlot, track: Track, state: ChartState): void {
  const { buckets, middleMs } = state.shown;
  if (!buckets) return;
  const count = buckets.count;
  if (track.curves.length > 1) chart.series[2]!.dash = isSparse(state) ? DASH : [];
  const data: uPlot.TypedArray[] = [middleMs.subarray(0, count)];
  for (const curve of track.curves) data.push(columnOf(state, curve.column).max.subarray(0, count));
  chart.batch(() => {
    chart.setData(data, false);
    chart.setScale('x', { min: state.range.fromMs, max: state.range.toMs });
  });
}

/** Where nearly every bucket is one row, a curve is a line and a dash can be seen; denser ones are areas. */
function isSparse(state: ChartState): boolean {
  const { buckets } = state.shown;
  return buckets !== undefined && buckets.count > 0 && buckets.rows[buckets.count >> 1]! <= SPARSE_ROWS;
}
