/** A plot's frame: where a value lies on the paper, ticks with their numbers, the range that is wanted. */
import { decimal } from '../figures.ts';
import { niceRange, stepDecimals, ticksWithin } from './niceTicks.ts';
import { box, line, type Pen, text } from './pen.ts';
import type { Mark } from './sheet.ts';

export interface PlotBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Scale {
  readonly from: number;
  readonly to: number;
  readonly step: number;
}

export const TICK_SIZE = 6.4;

/** Where a value lies between two places; values beyond the scale stay beyond. */
export const placeOn = (scale: Scale, start: number, end: number): ((value: number) => number) => {
  const per = (end - start) / (scale.to - scale.from);
  return (value) => start + (value - scale.from) * per;
};

export const scaleOf = (values: Iterable<number>, mostTicks: number): Scale => niceRange(values, mostTicks);

/** The values of a curve and bounds that matter, without spreading long arrays. */
export function* valuesOf(curves: readonly ArrayLike<number>[], ...more: number[]): Generator<number> {
  for (const curve of curves) for (let i = 0; i < curve.length; i += 1) yield curve[i]!;
  yield* more;
}

/** What lies outside a window is hatched; its bounds are dashed. Bounds that do not apply are not finite. */
export function windowMarks(at: PlotBox, scale: Scale, min: number, max: number, across: 'x' | 'y'): Mark[] {
  const marks: Mark[] = [];
  const isX = across === 'x';
  const place = isX ? placeOn(scale, at.x, at.x + at.width) : placeOn(scale, at.y + at.height, at.y);
  const outside = (from: number, to: number): void => {
    const a = place(Math.max(scale.from, from));
    const b = place(Math.min(scale.to, to));
    if (Math.abs(b - a) < 0.2) return;
    const low = Math.min(a, b);
    const size = Math.abs(b - a);
    marks.push(
      isX ? box(low, at.y, size, at.height, ['hatch', 'faint']) : box(at.x, low, at.width, size, ['hatch', 'faint']),
    );
  };
  const bound = (value: number): void => {
    const p = place(value);
    const points = isX ? [p, at.y, p, at.y + at.height] : [at.x, p, at.x + at.width, p];
    marks.push(line(points, 'ink', 0.7, [4, 1.5]));
  };
  if (Number.isFinite(min) && min > scale.from) {
    outside(scale.from, min);
    if (min <= scale.to) bound(min);
  }
  if (Number.isFinite(max) && max < scale.to) {
    outside(max, scale.to);
    if (max >= scale.from) bound(max);
  }
  return marks;
}

/** Ticks left of a plot; larger values up, or down the paper for depths. */
export function ticksLeft(pen: Pen, at: PlotBox, scale: Scale, direction: 'up' | 'down'): Mark[] {
  const [start, end] = direction === 'up' ? [at.y + at.height, at.y] : [at.y, at.y + at.height];
  const place = placeOn(scale, start, end);
  const decimals = stepDecimals(scale.step);
  return ticksWithin(scale.from, scale.to, scale.step).flatMap((value) => [
    line([at.x, place(value), at.x + at.width, place(value)], 'faint', 0.35),
    text(pen, at.x - 3, place(value) + TICK_SIZE * 0.36, decimal(value, decimals), { size: TICK_SIZE, anchor: 'end' }),
  ]);
}

export const frame = (at: PlotBox): Mark => box(at.x, at.y, at.width, at.height, null, ['ink', 0.6]);
