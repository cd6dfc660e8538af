/** What is drawn over depth, track by track, and how readings become lines. */
import type { Recipe } from '../../src/plan/job.ts';
import type { Pass, PassColumn } from '../../src/replay/passes.ts';
import type { Quantity } from '../../src/units.ts';

export interface DepthTrack {
  readonly column: PassColumn;
  readonly title: string;
  readonly quantity: Quantity;
  /** The recipe's window: least and greatest wanted; infinite where there is no bound. */
  readonly window: (recipe: Recipe) => readonly [least: number, most: number];
  /** Values below zero are drawn too. */
  readonly signed?: true;
}

const NO_WINDOW = [-Infinity, Infinity] as const;

export const DEPTH_TRACKS: readonly DepthTrack[] = [
  {
    column: 'pressure',
    title: 'Standpipe',
    quantity: 'pressure',
    // A window of the pressure at the tool is no window of this reading.
    window: (recipe) =>
      recipe.pressureAt === 'standpipe' ? [recipe.pressureMinKpa, recipe.pressureMaxKpa] : NO_WINDOW,
  },
  { column: 'rotation', title: 'Rotation', quantity: 'rotation', window: ({ rpmMin }) => [rpmMin, Infinity] },
  { column: 'torque', title: 'Torque', quantity: 'torque', window: ({ torqueMaxKnm }) => [-Infinity, torqueMaxKnm] },
  { column: 'feed', title: 'Feed', quantity: 'feed', window: ({ feedMaxMPerMin }) => [-Infinity, feedMaxMPerMin] },
  { column: 'setDown', title: 'Set-down', quantity: 'force', window: () => NO_WINDOW, signed: true },
];

/** Least and greatest value to be drawn: zero, every reading that is, every bound. */
export function extentOf(
  { column, window, signed }: DepthTrack,
  passes: readonly Pass[],
  recipes: readonly Recipe[],
): readonly [least: number, most: number] {
  let least = 0;
  let most = 1e-6;
  for (const bound of recipes.flatMap(window)) if (Number.isFinite(bound) && bound > most) most = bound;
  for (const pass of passes) {
    for (const value of pass[column]) {
      if (value > most) most = value;
      if (signed && value < least) least = value;
    }
  }
  return [least, most];
}

/** Down the depth; broken where there is no reading. */
export function linePath(
  pass: Pass,
  column: PassColumn,
  x: (value: number) => number,
  y: (depth: number) => number,
): string {
  const { depth, [column]: values } = pass;
  let path = '';
  let on = false;
  for (let i = 0; i < depth.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value) || Number.isNaN(depth[i]!)) {
      on = false;
      continue;
    }
    path += `${on ? 'L' : 'M'}${x(value).toFixed(1)} ${y(depth[i]!).toFixed(1)}`;
    on = true;
  }
  return path;
}
