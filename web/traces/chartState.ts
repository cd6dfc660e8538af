/** What all tracks are drawn from, and the scales and projections that follow from it. */
import { invariant } from '../../src/fault.ts';
import type { BucketColumn } from '../../src/traces/traceBuckets.ts';
import type { ValueColumn } from '../../src/traces/traceStore.ts';
import type { UnitSystemConverter } from '../../src/units.ts';
import type { ShownBuckets } from './shownBuckets.ts';
import type { TimeRange } from './timeWindow.ts';
import type { TraceColours } from './traceColours.ts';
import type { Projection } from './trackDrawing.ts';
import type { Curve, PressureAt, Track } from './tracks.ts';
import { type ValueScale, valueScale } from './valueScale.ts';

/** What all tracks are drawn from; changed in place by the panel before `draw`. */
export interface ChartState {
  shown: ShownBuckets;
  range: TimeRange;
  colours: TraceColours;
  units: UnitSystemConverter;
  offsetMs: number;
  /** Which pressure a window is about, kPa: the plan knows. */
  judgedAt: (minKpa: number, maxKpa: number) => PressureAt;
  /** Notes by the instant that they are pinned to. */
  notes: readonly { readonly atMs: number; readonly number: number }[];
}

const VALUE_MARK_SPACE_PX = 18;
const MOST_STEPS = 5;
/** A scale is at least this long in units on screen, so that noise on a steady reading stays small. */
const LEAST_SCALE: Partial<Record<ValueColumn, number>> = {
  toolDepth: 0.5,
  setDown: 20,
  torque: 2,
  rotation: 10,
  feed: 1,
};
const LEAST_SCALE_ELSE = 10;

/** A column of the shown buckets; asking for one that is not kept is our own mistake. */
export function columnOf(state: ChartState, name: ValueColumn): BucketColumn {
  const column = state.shown.buckets?.columns[state.shown.columns.indexOf(name)];
  invariant(column !== undefined, `${name} is among the shown columns`);
  return column;
}

/** Least and greatest of a column over a stretch of buckets. */
function extremes(column: BucketColumn, from: number, to: number): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (let i = from; i < to; i++) {
    if (column.min[i]! < low) low = column.min[i]!;
    if (column.max[i]! > high) high = column.max[i]!;
  }
  return [low, high];
}

/** Fits the scales of a track to buckets [from, to): they move in round steps, and hold the recipe's band too. */
export function setScales(
  track: Track,
  scales: ValueScale[],
  state: ChartState,
  stretch: { from: number; to: number },
  heightPx: number,
): void {
  if (!state.shown.buckets) return;
  const parts = Math.max(2, Math.min(MOST_STEPS, Math.floor(heightPx / VALUE_MARK_SPACE_PX)));
  track.curves.forEach((curve, c) => {
    if (curve.onFirstScale) {
      scales[c] = scales[0]!;
      return;
    }
    let [low, high] = extremes(columnOf(state, curve.column), stretch.from, stretch.to);
    if (c === 0) {
      const others = track.curves.filter((each) => each.onFirstScale).map((each) => each.column);
      for (const name of track.band ? [...others, track.band.max] : others) {
        const [least, top] = extremes(columnOf(state, name), stretch.from, stretch.to);
        if (top > high) high = top;
        if (least < low) low = least;
      }
    }
    if (low > high) [low, high] = [Number.NaN, Number.NaN];
    const out = (value: number) => state.units.out(curve.quantity, value);
    const least = LEAST_SCALE[curve.column] ?? LEAST_SCALE_ELSE;
    scales[c] = valueScale(out(low), out(high) / (curve.height ?? 1), parts, curve.scale === 'from zero', least);
  });
}

/** The plotted area of one canvas, canvas dots. */
export interface PlotBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** From inside units and ms to dots of one curve's canvas. */
export function projection(
  box: PlotBox,
  dots: number,
  scale: ValueScale,
  curve: Curve,
  state: ChartState,
  downwards: boolean,
): Projection {
  const { left, top, width, height } = box;
  const xScale = width / (state.range.toMs - state.range.fromMs);
  const perUnit = ((downwards ? 1 : -1) * height) / (scale.max - scale.min);
  const zero = state.units.out(curve.quantity, 0);
  const one = state.units.out(curve.quantity, 1) - zero;
  const start = downwards ? top : top + height;
  return {
    left,
    top,
    width,
    height,
    dots,
    x: (ms) => left + (ms - state.range.fromMs) * xScale,
    yScale: one * perUnit,
    yAt: start + (zero - scale.min) * perUnit,
  };
}
