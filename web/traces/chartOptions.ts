/** How one track is set up in uPlot: its axes, scales, curves, cursor, and what is drawn below and above the curves. */
import uPlot from 'uplot';
import { type ChartState, columnOf, projection } from './chartState.ts';
import { markText, timeMarks, timeStepMs } from './timeAxis.ts';
import type { TimeRange } from './timeWindow.ts';
import {
  curvePath,
  drawBand,
  drawBreaches,
  drawNotes,
  drawUnknown,
  type Projection,
  type Stretch,
} from './trackDrawing.ts';
import { bitOf, edgeOf, type Track } from './tracks.ts';
import { numberText, type ValueScale, valueMarks } from './valueScale.ts';

export const TIME_AXIS_PX = 22;
const VALUE_AXIS_PX = 50;
const AXIS_FONT = '11px system-ui, sans-serif';
/** Room for half a line of text above and below, so that the marks at the ends are whole. */
const EDGE_PX = 6;
const TIME_MARK_SPACE_PX = 74;
/** Marks nearer to the left edge bear no text: the zone of the clock stands there. */
const FIRST_MARK_PX = 26;
/** Marks nearer to the right edge bear none either: it would be cut off. */
const LAST_MARK_PX = 10;
/** Shorter moves of the mouse are clicks, not selections, CSS pixels. */
const LEAST_DRAG_PX = 6;
const CURVE_PX = [1.5, 1.25] as const;

export interface ChartEvents {
  onCursor(ms: number | null): void;
  onSelect(range: TimeRange): void;
}

/** One track and all that it is drawn from. `scales` and `stretch` are changed in place before each draw. */
export interface TrackSetup {
  readonly track: Track;
  readonly scales: ValueScale[];
  readonly state: ChartState;
  readonly stretch: { readonly from: number; readonly to: number };
  readonly events: ChartEvents;
  readonly syncKey: string;
  /** The first track speaks for the cursor of all; the last bears the time axis. */
  readonly isFirst: boolean;
  readonly isLast: boolean;
}

const stretchOf = ({ state, stretch }: TrackSetup): Stretch => ({
  buckets: state.shown.buckets!,
  middleMs: state.shown.middleMs,
  from: stretch.from,
  to: stretch.to,
});

const isDown = (track: Track, c: number): boolean => c === 0 && track.downwards === true;

const project = ({ track, scales, state }: TrackSetup, chart: uPlot, c: number): Projection =>
  projection(chart.bbox, uPlot.pxRatio, scales[c]!, track.curves[c]!, state, isDown(track, c));

export function chartOptions(setup: TrackSetup): uPlot.Options {
  const { track, scales, state, isLast } = setup;
  return {
    width: 0,
    height: 0,
    ms: 1,
    padding: [EDGE_PX, 6, isLast ? 0 : EDGE_PX, 0],
    legend: { show: false },
    scales: { x: { time: false, auto: false }, ...valueScales(setup) },
    series: [{}, ...track.curves.map((_, c) => seriesOf(setup, c))],
    axes: [timeAxis(state, isLast), valueAxis(scales, state)],
    cursor: {
      y: false,
      points: { show: false },
      drag: { x: true, y: false, setScale: false, dist: LEAST_DRAG_PX },
      sync: { key: setup.syncKey, setSeries: false },
      bind: { dblclick: () => () => null },
    },
    hooks: {
      drawAxes: [(chart) => drawBelow(setup, chart)],
      draw: [(chart) => drawAbove(setup, chart)],
      setSelect: [(chart) => select(chart, setup.events)],
      setCursor: setup.isFirst ? [(chart) => setup.events.onCursor(momentUnderCursor(chart))] : [],
    },
  };
}

const valueScales = ({ track, scales }: TrackSetup): uPlot.Scales =>
  Object.fromEntries(
    track.curves.map((_, c): [string, uPlot.Scale] => [
      `y${c}`,
      { range: () => [scales[c]!.min, scales[c]!.max], dir: isDown(track, c) ? -1 : 1 },
    ]),
  );

function seriesOf(setup: TrackSetup, c: number): uPlot.Series {
  const { state, track } = setup;
  return {
    scale: `y${c}`,
    auto: false,
    width: CURVE_PX[c as 0 | 1],
    stroke: () => state.colours.curves[c as 0 | 1],
    points: { show: false },
    paths: (chart) => {
      if (!state.shown.buckets) return null;
      const column = columnOf(state, track.curves[c]!.column);
      return { stroke: curvePath(stretchOf(setup), column, project(setup, chart, c)), flags: 0 };
    },
  };
}

/** Holes and the recipe's band lie under the curves. */
function drawBelow(setup: TrackSetup, chart: uPlot): void {
  const { state, track } = setup;
  if (!state.shown.buckets) return;
  const at = project(setup, chart, 0);
  clipped(chart, () => {
    drawUnknown(chart.ctx, stretchOf(setup), columnOf(state, track.curves[0].column), at, state.colours.hatch);
    if (!track.band) return;
    const bounds = { min: columnOf(state, track.band.min), max: columnOf(state, track.band.max) };
    const edge = (min: number, max: number) =>
      state.judgedAt(min, max) === 'tool' ? state.colours.curves[1] : state.colours.bandEdge;
    drawBand(chart.ctx, stretchOf(setup), bounds, at, state.colours, edge);
  });
}

/** Breaches lie over everything. */
function drawAbove(setup: TrackSetup, chart: uPlot): void {
  const { state, track } = setup;
  if (!state.shown.buckets) return;
  clipped(chart, () => {
    if (state.notes.length > 0) {
      drawNotes(chart.ctx, state.notes, project(setup, chart, 0), state.colours, setup.isLast);
    }
    track.curves.forEach((curve, c) => {
      // Two curves on one scale have one limit between them: it is marked once.
      if (!curve.limit || curve.onFirstScale) return;
      const edge = edgeOf(track, c);
      drawBreaches(chart.ctx, stretchOf(setup), bitOf(curve), edge, project(setup, chart, c), state.colours.breach);
    });
  });
}

function select(chart: uPlot, events: ChartEvents): void {
  const { left, width } = chart.select;
  if (width < LEAST_DRAG_PX) return;
  const range = { fromMs: chart.posToVal(left, 'x'), toMs: chart.posToVal(left + width, 'x') };
  chart.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
  events.onSelect(range);
}

/** The moment under the chart's cursor, ms; null without one. */
export function momentUnderCursor(chart: uPlot): number | null {
  const left = chart.cursor.left ?? -1;
  return left < 0 ? null : chart.posToVal(left, 'x');
}

function clipped(chart: uPlot, draw: () => void): void {
  const { left, top, width, height } = chart.bbox;
  chart.ctx.save();
  chart.ctx.beginPath();
  chart.ctx.rect(left, top, width, height);
  chart.ctx.clip();
  draw();
  chart.ctx.restore();
}

function timeAxis(state: ChartState, shown: boolean): uPlot.Axis {
  const step = (chart: uPlot) =>
    timeStepMs(state.range.toMs - state.range.fromMs, chart.bbox.width / uPlot.pxRatio, TIME_MARK_SPACE_PX);
  return {
    size: shown ? TIME_AXIS_PX : 0,
    font: AXIS_FONT,
    gap: 2,
    stroke: () => state.colours.text,
    grid: { stroke: () => state.colours.grid, width: 1 },
    ticks: { show: shown, size: 4, stroke: () => state.colours.grid },
    splits: (chart, _axis, min, max) => timeMarks(min, max, step(chart), state.offsetMs),
    values: (chart, marks) => {
      const right = chart.bbox.width / uPlot.pxRatio - LAST_MARK_PX;
      const empty = !shown || !state.shown.buckets?.count;
      return marks.map((ms) => {
        const x = chart.valToPos(ms, 'x');
        return empty || x < FIRST_MARK_PX || x > right ? '' : markText(ms, step(chart), state.offsetMs);
      });
    },
  };
}

function valueAxis(scales: ValueScale[], state: ChartState): uPlot.Axis {
  return {
    scale: 'y0',
    size: VALUE_AXIS_PX,
    font: AXIS_FONT,
    gap: 3,
    stroke: () => state.colours.text,
    grid: { stroke: () => state.colours.grid, width: 1 },
    ticks: { show: false },
    splits: () => valueMarks(scales[0]!),
    values: (_chart, marks) => {
      const step = scales[0]!.step;
      const decimals = step < 0.1 ? 2 : Number.isInteger(step) ? 0 : 1;
      return marks.map((mark) => numberText(mark, decimals));
    },
  };
}
