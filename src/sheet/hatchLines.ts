/** Patterns as lines cut to their box, so that every writer draws the same and none needs a pattern of its own. */
import type { BoxMark, Pattern } from './sheet.ts';

/** Distance between two lines of a pattern, points. */
const APART: Readonly<Record<Exclude<Pattern, 'solid'>, number>> = {
  hatch: 4.2,
  'back hatch': 4.2,
  cross: 3.6,
  level: 2.6,
};

type Box = Pick<BoxMark, 'x' | 'y' | 'width' | 'height'>;

/** Lines y = slope·x + c through the paper at fixed places, so that the patterns of boxes side by side join. */
function slanted({ x, y, width, height }: Box, slope: 1 | -1, apart: number): number[][] {
  const step = apart * Math.SQRT2;
  const right = x + width;
  const bottom = y + height;
  const lowest = slope === 1 ? y - right : y + x;
  const highest = slope === 1 ? bottom - x : bottom + right;
  const runs: number[][] = [];
  for (let c = Math.ceil(lowest / step) * step; c < highest; c += step) {
    const at = (px: number): number => slope * px + c;
    const xAt = (py: number): number => (py - c) * slope;
    const from = Math.max(x, Math.min(xAt(y), xAt(bottom)));
    const to = Math.min(right, Math.max(xAt(y), xAt(bottom)));
    if (to > from) runs.push([from, at(from), to, at(to)]);
  }
  return runs;
}

function levels({ x, y, width, height }: Box, apart: number): number[][] {
  const runs: number[][] = [];
  for (let at = Math.ceil(y / apart) * apart; at < y + height; at += apart) runs.push([x, at, x + width, at]);
  return runs;
}

/** Runs x, y, x, y; none for `solid`. */
export function hatchLines(box: Box, pattern: Pattern): number[][] {
  switch (pattern) {
    case 'solid':
      return [];
    case 'hatch':
      return slanted(box, -1, APART.hatch);
    case 'back hatch':
      return slanted(box, 1, APART['back hatch']);
    case 'cross':
      return [...slanted(box, -1, APART.cross), ...slanted(box, 1, APART.cross)];
    case 'level':
      return levels(box, APART.level);
  }
}

export const HATCH_WIDTH = 0.45;
