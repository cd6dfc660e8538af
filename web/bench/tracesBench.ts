/**
 * Six traces over 72 h at 1 Hz, drawn two ways in the same page: plain uPlot on all points, and the panel's charts on
 * buckets. Measured is the script's time until all is handed to the canvas, and the time until the next frame is shown;
 * medians of many. `window.measureTraces` is called by the runner.
 */
import uPlot from 'uplot';
import {
  appendRow,
  createTraceStore,
  type TraceStore,
  VALUE_INDEX,
  type ValueColumn,
} from '../../src/traces/traceStore.ts';
import { converter } from '../../src/units.ts';
import type { ChartState } from '../traces/chartState.ts';
import { noBuckets, showBuckets } from '../traces/shownBuckets.ts';
import { createTraceCharts } from '../traces/traceCharts.ts';
import { traceColours } from '../traces/traceColours.ts';
import type { Track } from '../traces/tracks.ts';
import { inventedRows } from './inventedRows.ts';
import 'uplot/dist/uPlot.min.css';

const ROWS = 72 * 3600;
const WIDTH = 800;
const HEIGHT = 110;
const SIX: readonly ValueColumn[] = ['standpipePressure', 'flowIn', 'torque', 'rotation', 'hookload', 'toolDepth'];

export interface TracesMeasured {
  readonly points: number;
  readonly firstDraw: { readonly plain: Time; readonly ours: Time };
  readonly oneMore: { readonly plain: Time; readonly ours: Time };
}

const TRACKS: readonly Track[] = SIX.map((column) => ({
  curves: [{ column, name: column, quantity: 'count', decimals: { metric: 0, field: 0 }, scale: 'from zero' }],
}));

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

/** A frame of the browser's own, so that what one way left to do is not counted with the next. */
const settled = (): Promise<void> => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));

function cells(): HTMLElement[] {
  document.body.replaceChildren();
  return SIX.map(() => {
    const cell = document.createElement('div');
    cell.style.cssText = `width:${WIDTH}px;height:${HEIGHT}px`;
    document.body.append(cell);
    return cell;
  });
}

interface Drawn {
  /** Takes in row `i` and draws. */
  add(i: number): void;
  stop(): void;
}

interface PlainPoints {
  readonly xs: number[];
  readonly ys: (number | null)[][];
}

/** uPlot as it comes: plain arrays of all points, null where there is none. uPlot draws when its microtask runs. */
function drawPlain(points: PlainPoints, times: number[], columns: (number | null)[][]): Drawn {
  const { xs, ys } = points;
  const charts = cells().map(
    (cell, c) =>
      new uPlot(
        {
          width: WIDTH,
          height: HEIGHT,
          ms: 1,
          legend: { show: false },
          cursor: { show: false },
          series: [{}, { stroke: '#14181c', width: 1.5, points: { show: false } }],
        },
        [xs, ys[c]!],
        cell,
      ),
  );
  return {
    add(i) {
      xs.push(times[i]!);
      charts.forEach((chart, c) => {
        ys[c]!.push(columns[c]![i]!);
        chart.setData([xs, ys[c]!]);
      });
    },
    stop() {
      for (const chart of charts) chart.destroy();
    },
  };
}

/** The panel's charts on the store, which has taken in the rows as they came. */
function drawOurs(store: TraceStore, rows: readonly (number | null)[][]): Drawn {
  const state: ChartState = {
    shown: noBuckets(SIX),
    range: { fromMs: 0, toMs: 1 },
    colours: traceColours('light'),
    units: converter('metric'),
    offsetMs: 0,
    judgedAt: () => 'standpipe',
    notes: [],
  };
  const sizes = SIX.map(() => ({ width: WIDTH, height: HEIGHT }));
  const charts = createTraceCharts(cells(), sizes, TRACKS, state, { onCursor: () => {}, onSelect: () => {} });
  const draw = () => {
    state.range = { fromMs: store.sourceMs[0]!, toMs: store.sourceMs[store.levels[0]!.count - 1]! };
    showBuckets(state.shown, store, state.range, charts.plotWidth() || WIDTH, true);
    charts.draw();
  };
  draw();
  return {
    add(i) {
      appendRow(store, rows[i]!);
      draw();
    },
    stop: () => charts.destroy(),
  };
}

interface Time {
  /** Until the script and its microtasks have run: both ways commit their drawing in one. */
  readonly script: number;
  /** Until the browser has shown the next frame; never less than the wait for it. */
  readonly shown: number;
}

async function timed(act: () => void): Promise<Time> {
  const from = performance.now();
  act();
  await new Promise<void>((done) => queueMicrotask(done));
  const script = performance.now() - from;
  await settled();
  return { script, shown: performance.now() - from };
}

const medians = (times: Time[]): Time => ({
  script: median(times.map((time) => time.script)),
  shown: median(times.map((time) => time.shown)),
});

export async function measureTraces(draws: number, samples: number): Promise<TracesMeasured> {
  const rows = inventedRows({ rows: ROWS + draws + samples, startMs: Date.UTC(2031, 2, 4), seed: 72 });
  const times = rows.map((row) => row[0]!);
  const columns = SIX.map((column) => rows.map((row) => row[VALUE_INDEX[column] + 1] ?? null));
  const store = createTraceStore();
  for (const row of rows.slice(0, ROWS)) appendRow(store, row);
  const first = { plain: [] as Time[], ours: [] as Time[] };
  const more = { plain: [] as Time[], ours: [] as Time[] };
  for (const way of ['plain', 'ours', 'plain', 'ours'] as const) {
    for (let i = 0; i < draws; i++) {
      let drawn: Drawn | undefined;
      const points = { xs: times.slice(0, ROWS), ys: columns.map((column) => column.slice(0, ROWS)) };
      await settled();
      first[way].push(
        await timed(() => {
          drawn = way === 'plain' ? drawPlain(points, times, columns) : drawOurs(store, rows);
        }),
      );
      if (i === draws - 1) {
        for (let n = 0; n < samples / 2; n++) {
          await settled();
          const next = way === 'plain' ? ROWS + n : store.levels[0]!.count;
          more[way].push(await timed(() => drawn!.add(next)));
        }
      }
      drawn!.stop();
    }
  }
  return {
    points: ROWS,
    firstDraw: { plain: medians(first.plain), ours: medians(first.ours) },
    oneMore: { plain: medians(more.plain), ours: medians(more.ours) },
  };
}

declare global {
  interface Window {
    measureTraces: typeof measureTraces;
  }
}
window.measureTraces = measureTraces;
