/** Readings against depth of the tool, one track beside the other, depth down the sheet, with the windows of the recipe. */
import { CHANNEL_INDEX } from '../channels.ts';
import { decimal } from '../figures.ts';
import { gapAfterMs } from '../pipeline/period.ts';
import type { Recipe } from '../plan/job.ts';
import type { Pass } from '../replay/passes.ts';
import { frame, type PlotBox, placeOn, type Scale, scaleOf, TICK_SIZE, valuesOf, windowMarks } from '../sheet/axes.ts';
import { curveRuns } from '../sheet/curveRuns.ts';
import { stepDecimals, ticksWithin } from '../sheet/niceTicks.ts';
import { line, type Pen, runs, text } from '../sheet/pen.ts';
import type { Mark } from '../sheet/sheet.ts';
import type { Quantity } from '../units.ts';
import type { Facts } from './facts.ts';
import { type DrawnPass, OTHER_LINE, ROLLING_LINE } from './jointDrawing.ts';

interface Track {
  readonly title: string;
  /** Behind the unit. */
  readonly note?: string;
  readonly quantity: Quantity;
  /** In the inside unit of the quantity, by row. */
  readonly value: (row: number) => number;
  readonly min: number;
  readonly max: number;
}

const MM = 1000;

function tracksOf({ input, job }: Facts, recipe: Recipe | undefined): Track[] {
  const { columns, course } = input.worked;
  const channel = (id: 'standpipePressure' | 'rotation' | 'torque'): ((row: number) => number) => {
    const values = course.samples.channels[CHANNEL_INDEX[id]]!;
    return (row) => values[row]!;
  };
  const none = { min: Number.NEGATIVE_INFINITY, max: Number.POSITIVE_INFINITY };
  const atTool = recipe?.pressureAt === 'tool';
  const setDownMax = job.engineering.limits.setDownMaxKn;
  return [
    {
      title: 'Pressure',
      note: atTool ? 'at the tool' : 'standpipe',
      quantity: 'pressure',
      value: atTool ? (row) => columns.toolPressure[row]! : channel('standpipePressure'),
      min: recipe?.pressureMinKpa ?? none.min,
      max: recipe?.pressureMaxKpa ?? none.max,
    },
    { title: 'Rotation', quantity: 'rotation', value: channel('rotation'), ...none, min: recipe?.rpmMin ?? none.min },
    { title: 'Torque', quantity: 'torque', value: channel('torque'), ...none, max: recipe?.torqueMaxKnm ?? none.max },
    {
      title: 'Feed',
      quantity: 'feed',
      value: (row) => columns.feed[row]!,
      ...none,
      max: recipe?.feedMaxMPerMin ?? none.max,
    },
    { title: 'Set-down', quantity: 'force', value: (row) => columns.setDown[row]!, ...none, max: setDownMax },
    {
      title: 'Feed per turn',
      quantity: 'diameter',
      value: (row) => columns.feedPerTurn[row]! * MM,
      ...none,
      max: (recipe?.feedPerTurnMaxM ?? none.max) * MM,
    },
  ];
}

interface Curve {
  readonly depth: number[];
  readonly value: number[];
}

/** Every reading of a pass in the units to show, and a hole wherever none came for longer than the plan allows. */
function curveOf({ input, job, run, units }: Facts, pass: Pass, { quantity, value }: Track): Curve {
  const { columns, course } = input.worked;
  const { sourceMs } = course.samples;
  const offsetM = job.tools[pass.tool]!.offsetM;
  const mostMs = gapAfterMs(run.period, job.stream.gapAfterMs);
  const curve: Curve = { depth: [], value: [] };
  for (let row = pass.fromRow; row < pass.toRow; row += 1) {
    if (row > pass.fromRow && sourceMs[row]! - sourceMs[row - 1]! > mostMs) {
      curve.depth.push(Number.NaN);
      curve.value.push(Number.NaN);
    }
    curve.depth.push(units.out('length', columns.depth[row]! - offsetM));
    curve.value.push(units.out(quantity, value(row)));
  }
  return curve;
}

const HEAD = 32;

/**
 * @param at the room for heads and tracks together @param depths of the sheet, in the units to show, the same for all tracks
 */
export function trackMarks(
  facts: Facts,
  pen: Pen,
  recipe: Recipe | undefined,
  passes: readonly DrawnPass[],
  at: PlotBox,
  depths: Scale,
): Mark[] {
  const tracks = tracksOf(facts, recipe);
  const gutter = 6;
  const width = (at.width - gutter * (tracks.length - 1)) / tracks.length;
  return tracks.flatMap((track, i) => {
    const plot = { x: at.x + i * (width + gutter), y: at.y + HEAD, width, height: at.height - HEAD };
    return oneTrack(facts, pen, track, passes, plot, depths);
  });
}

export const trackHead = HEAD;

function oneTrack(
  facts: Facts,
  pen: Pen,
  track: Track,
  passes: readonly DrawnPass[],
  plot: PlotBox,
  depths: Scale,
): Mark[] {
  const { units } = facts;
  const bound = (value: number): number => (Number.isFinite(value) ? units.out(track.quantity, value) : value);
  const curves = passes.map((pass) => curveOf(facts, pass, track));
  const bounds = [bound(track.min), bound(track.max)] as const;
  const scale = trackScale(curves, bounds);
  const place = placeOn(scale, plot.x, plot.x + plot.width);
  const placeDepth = placeOn(depths, plot.y, plot.y + plot.height);
  const marks = windowMarks(plot, scale, ...bounds, 'x');
  for (const depth of ticksWithin(depths.from, depths.to, depths.step)) {
    marks.push(line([plot.x, placeDepth(depth), plot.x + plot.width, placeDepth(depth)], 'faint', 0.35));
  }
  let isEmpty = true;
  curves.forEach(({ depth, value }, i) => {
    const drawn = curveRuns(
      depth.length,
      (at) => placeDepth(depth[at]!),
      (at) => place(Math.min(scale.to, Math.max(scale.from, value[at]!))),
      true,
    );
    if (drawn.length === 0) return;
    marks.push(...beyondMarks(depth, value, scale, plot, placeDepth));
    isEmpty = false;
    const { tone, width, dash } = passes[i]!.isRolling ? ROLLING_LINE : OTHER_LINE;
    marks.push(runs(drawn, tone, width, dash));
  });
  const unit = [units.label(track.quantity), track.note].filter(Boolean).join(', ');
  marks.push(frame(plot), ...trackHeadMarks(pen, track.title, unit, plot, scale));
  if (isEmpty) {
    const middle = { size: 6.4, tone: 'soft' as const, anchor: 'middle' as const, turned: true };
    marks.push(text(pen, plot.x + plot.width / 2 + 2, plot.y + plot.height / 2, 'no readings', middle));
  }
  return marks;
}

/** Of all readings so many are on the scale, whatever they are; a few peaks are not to flatten all the rest. */
const ON_SCALE = [0.02, 0.98] as const;
const HEADROOM = 1.06;

function trackScale(curves: readonly Curve[], bounds: readonly number[]): Scale {
  const all = [...valuesOf(curves.map(({ value }) => value))].filter(Number.isFinite).sort((a, b) => a - b);
  const at = (share: number): number => all[Math.min(all.length - 1, Math.floor(share * all.length))] ?? 0;
  const values = [...ON_SCALE.map(at), ...bounds, 0].filter(Number.isFinite);
  // Room above, so that no curve lies on the frame.
  return scaleOf([...values, Math.max(...values) * HEADROOM], 3);
}

const ARROW = 2.2;
/** Arrows nearer to each other than this are one, points. */
const ARROWS_APART = 6;

/** A reading beyond the scale is drawn at its edge, and an arrow there says so. */
function beyondMarks(
  depth: readonly number[],
  value: readonly number[],
  scale: Scale,
  plot: PlotBox,
  placeDepth: (depth: number) => number,
): Mark[] {
  const arrows: number[][] = [];
  const last = { low: Number.NEGATIVE_INFINITY, high: Number.NEGATIVE_INFINITY };
  value.forEach((one, i) => {
    const side = one > scale.to ? 'high' : one < scale.from ? 'low' : null;
    const y = placeDepth(depth[i]!);
    if (side === null || Math.abs(y - last[side]) < ARROWS_APART) return;
    last[side] = y;
    const [edge, out] = side === 'high' ? [plot.x + plot.width, 1] : [plot.x, -1];
    arrows.push([edge - out * ARROW, y - ARROW, edge, y, edge - out * ARROW, y + ARROW]);
  });
  return arrows.length > 0 ? [runs(arrows, 'ink', 0.9)] : [];
}

/** Name, unit, and the ends of the scale with the ticks between where they have room. */
function trackHeadMarks(pen: Pen, title: string, unit: string, plot: PlotBox, scale: Scale): Mark[] {
  const place = placeOn(scale, plot.x, plot.x + plot.width);
  const decimals = stepDecimals(scale.step);
  const top = plot.y - HEAD;
  const middle = plot.x + plot.width / 2;
  const ticks = ticksWithin(scale.from, scale.to, scale.step);
  const size = TICK_SIZE - 0.4;
  const numbers = ticks.map((value, i) => {
    const anchor = i === 0 ? 'start' : i === ticks.length - 1 ? 'end' : 'middle';
    return text(pen, place(value), plot.y - 5, decimal(value, decimals), { size, anchor });
  });
  const ends = [numbers[0]!, numbers.at(-1)!];
  // Each stands clear of the others, or only the ends do.
  const isClear = numbers
    .slice(1, -1)
    .every(
      ({ x, width }) =>
        x - width / 2 > plot.x + ends[0]!.width + 3 && x + width / 2 < plot.x + plot.width - ends[1]!.width - 3,
    );
  return [
    text(pen, middle, top + 8, title, { size: 6.6, bold: true, anchor: 'middle' }),
    text(pen, middle, top + 17, unit, { size: 6.2, tone: 'soft', anchor: 'middle' }),
    ...ticks.flatMap((value) => [
      line([place(value), plot.y - 3, place(value), plot.y], 'ink', 0.5),
      line([place(value), plot.y, place(value), plot.y + plot.height], 'faint', 0.35),
    ]),
    ...(isClear && ticks.length <= 3 ? numbers : ends),
  ];
}
