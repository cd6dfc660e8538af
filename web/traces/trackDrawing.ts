/** What is drawn in a track, from buckets alone: curves, the recipe's band, holes and breaches. All in canvas dots. */
import type { BucketColumn, TraceBuckets } from '../../src/traces/traceBuckets.ts';
import { breachSpans, joined, type TimeSpan, unknownSpans } from '../../src/traces/traceSpans.ts';

/** Straight lines from time and value to canvas dots: x = ms × xScale + xAt, y = value × yScale + yAt. */
export interface Projection {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Canvas dots for a CSS pixel. */
  readonly dots: number;
  readonly x: (ms: number) => number;
  readonly yScale: number;
  readonly yAt: number;
}

/** A stretch of buckets [from, to), drawn at `middleMs`. */
export interface Stretch {
  readonly buckets: TraceBuckets;
  readonly middleMs: Float64Array;
  readonly from: number;
  readonly to: number;
}

/** The narrowest mark that can still be seen, CSS pixels. */
const LEAST_MARK_PX = 3;
const MARK_PX = 4;
/** Marks of shape stand no closer than this, CSS pixels. */
const MARK_SPACE_PX = 12;
const HATCH_PX = 6;

/**
 * A curve through the buckets: at each a stroke from least to greatest, joined to the one before only where nothing
 * between is unknown. A bucket that stands alone becomes a dot.
 */
export function curvePath(stretch: Stretch, column: BucketColumn, at: Projection): Path2D {
  const path = new Path2D();
  const { buckets, middleMs } = stretch;
  let y = 0;
  for (let i = stretch.from; i < stretch.to; i++) {
    const min = column.min[i]!;
    if (Number.isNaN(min)) continue;
    const x = at.x(middleMs[i]!);
    const low = min * at.yScale + at.yAt;
    const high = column.max[i]! * at.yScale + at.yAt;
    const joins = i > stretch.from && joined(buckets, column, i);
    const lowFirst = !joins || Math.abs(y - low) <= Math.abs(y - high);
    if (joins) path.lineTo(x, lowFirst ? low : high);
    else path.moveTo(x, low);
    if (low !== high) path.lineTo(x, lowFirst ? high : low);
    else if (!joins) path.lineTo(x + at.dots, low);
    y = lowFirst ? high : low;
  }
  return path;
}

/**
 * The recipe's window as it was in force over time: a filled band with its edges drawn, in the colour of the curve that it is
 * about. A missing bound leaves it open.
 */
export function drawBand(
  ctx: CanvasRenderingContext2D,
  stretch: Stretch,
  bounds: { min: BucketColumn; max: BucketColumn },
  at: Projection,
  colours: { band: string },
  edgeOf: (min: number, max: number) => string,
): void {
  const { buckets, from, to } = stretch;
  const same = (a: number, b: number) => a === b || (Number.isNaN(a) && Number.isNaN(b));
  ctx.lineWidth = at.dots;
  ctx.fillStyle = colours.band;
  ctx.setLineDash([4 * at.dots, 3 * at.dots]);
  for (let i = from; i < to; ) {
    const min = bounds.min.min[i]!;
    const max = bounds.max.max[i]!;
    let end = i + 1;
    while (end < to && same(bounds.min.min[end]!, min) && same(bounds.max.max[end]!, max)) end++;
    const left = at.x(buckets.firstMs[i]!);
    const right = at.x(end < to ? buckets.firstMs[end]! : buckets.lastMs[end - 1]!);
    i = end;
    if (Number.isNaN(min) && Number.isNaN(max)) continue;
    const bottom = Number.isNaN(min) ? at.top + at.height : min * at.yScale + at.yAt;
    const top = Number.isNaN(max) ? at.top : max * at.yScale + at.yAt;
    ctx.fillRect(left, top, right - left, bottom - top);
    ctx.strokeStyle = edgeOf(min, max);
    ctx.beginPath();
    if (!Number.isNaN(min)) line(ctx, left, right, bottom);
    if (!Number.isNaN(max)) line(ctx, left, right, top);
    ctx.stroke();
  }
  ctx.setLineDash([]);
}

function line(ctx: CanvasRenderingContext2D, left: number, right: number, y: number): void {
  ctx.moveTo(left, y);
  ctx.lineTo(right, y);
}

/** Hatches the stretches in which the column is not known. */
export function drawUnknown(
  ctx: CanvasRenderingContext2D,
  stretch: Stretch,
  column: BucketColumn,
  at: Projection,
  colour: string,
): void {
  const spans = unknownSpans(stretch.buckets, column, stretch.from, stretch.to);
  if (spans.length === 0) return;
  ctx.fillStyle = hatch(ctx, colour, at.dots);
  for (const span of spans) {
    const [left, width] = placed(span, at);
    ctx.fillRect(left, at.top, width, at.height);
  }
}

const hatches = new Map<string, CanvasPattern>();

/** One tile of slanted lines, made once for a colour and a screen: filling with it is far cheaper than drawing lines. */
function hatch(ctx: CanvasRenderingContext2D, colour: string, dots: number): CanvasPattern | string {
  const key = `${colour} ${dots}`;
  const made = hatches.get(key);
  if (made) return made;
  const size = Math.max(2, Math.round(HATCH_PX * dots));
  const tile = ctx.canvas.ownerDocument.createElement('canvas');
  tile.width = size;
  tile.height = size;
  const tileCtx = tile.getContext('2d');
  const pattern = tileCtx && slanted(tileCtx, size, colour, dots) ? ctx.createPattern(tile, 'repeat') : null;
  if (pattern) hatches.set(key, pattern);
  return pattern ?? colour;
}

function slanted(ctx: CanvasRenderingContext2D, size: number, colour: string, dots: number): true {
  ctx.strokeStyle = colour;
  ctx.lineWidth = 1.2 * dots;
  ctx.beginPath();
  for (const shift of [-size, 0, size]) {
    ctx.moveTo(shift - 1, size + 1);
    ctx.lineTo(shift + size + 1, -1);
  }
  ctx.stroke();
  return true;
}

/** Left edge and width of a span inside the track, widened so that it can be seen. */
function placed(span: TimeSpan, at: Projection): [number, number] {
  const least = LEAST_MARK_PX * at.dots;
  const from = Math.max(at.left, at.x(span.fromMs));
  const to = Math.min(at.left + at.width, at.x(span.toMs));
  const width = Math.max(least, to - from);
  return [Math.min(from, at.left + at.width - width), width];
}

/**
 * Marks where a limit was broken: a bar along the track's edge with a shape where it begins, a triangle along the top
 * for the first curve, a diamond along the bottom for the second.
 */
export function drawBreaches(
  ctx: CanvasRenderingContext2D,
  stretch: Stretch,
  bit: number,
  edge: 'top' | 'bottom',
  at: Projection,
  colour: string,
): void {
  const bar = MARK_PX * at.dots;
  const size = MARK_PX * at.dots;
  const y = edge === 'top' ? at.top : at.top + at.height - bar;
  let lastMark = -Infinity;
  ctx.fillStyle = colour;
  for (const span of breachSpans(stretch.buckets, bit, stretch.from, stretch.to)) {
    const [left, width] = placed(span, at);
    ctx.fillRect(left, y, width, bar);
    if (left - lastMark < MARK_SPACE_PX * at.dots) continue;
    lastMark = left;
    const x = Math.max(at.left + size, left + Math.min(width, 2 * size) / 2);
    ctx.beginPath();
    if (edge === 'top') {
      ctx.moveTo(x - size, y + bar);
      ctx.lineTo(x + size, y + bar);
      ctx.lineTo(x, y + bar + 1.6 * size);
    } else {
      ctx.moveTo(x, y - 1.6 * size);
      ctx.lineTo(x + size, y - 0.3 * size);
      ctx.lineTo(x, y + size);
      ctx.lineTo(x - size, y - 0.3 * size);
    }
    ctx.fill();
  }
}

const NOTE = { width: 15, height: 13, font: 10 } as const;

/** A dashed line through the track at each note; the last track bears its number as well, as the list of notes does. */
export function drawNotes(
  ctx: CanvasRenderingContext2D,
  notes: readonly { readonly atMs: number; readonly number: number }[],
  at: Projection,
  colours: { readonly curves: readonly [string, string]; readonly text: string; readonly ground: string },
  numbered: boolean,
): void {
  const { dots } = at;
  ctx.lineWidth = 1.2 * dots;
  ctx.strokeStyle = colours.text;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  ctx.font = `600 ${NOTE.font * dots}px system-ui, sans-serif`;
  for (const { atMs, number } of notes) {
    const x = at.x(atMs);
    if (x < at.left || x > at.left + at.width) continue;
    ctx.setLineDash([2 * dots, 3 * dots]);
    ctx.beginPath();
    ctx.moveTo(x, at.top);
    ctx.lineTo(x, at.top + at.height);
    ctx.stroke();
    ctx.setLineDash([]);
    if (!numbered) continue;
    const left = Math.min(at.left + at.width - NOTE.width * dots, x);
    const top = at.top + at.height - NOTE.height * dots;
    ctx.fillStyle = colours.text;
    ctx.fillRect(left, top, NOTE.width * dots, NOTE.height * dots);
    ctx.fillStyle = colours.ground;
    ctx.fillText(String(number), left + (NOTE.width * dots) / 2, top + (NOTE.height * dots) / 2 + dots / 2);
  }
}
