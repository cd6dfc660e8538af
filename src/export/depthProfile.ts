/**
 * What each tool's contact met on its way down, by depth: for every depth of a grid the row with which the tool passed it.
 *
 * D1 A tool passes a depth when it goes from above it to it or below, in a movement that was seen: not across a hole in the
 *    data, nor where the depth was set.
 * D2 It is another pass once the tool has been lifted further above that depth than heave and stretch lift it.
 */
import type { WorkedCourse } from './workedCourse.ts';

/** As `passesOf` has it: lifted by more than this, the pass is over, m. */
const BACK_M = 0.3;

export interface DepthGrid {
  /** Depth of the first point and step, in the unit of the file: multiples of the step. */
  readonly firstStep: number;
  readonly points: number;
  readonly stepM: number;
}

export interface ToolProfile {
  /** Row of the samples with which the point was passed; -1: it was not. */
  readonly row: Int32Array;
  /** Of that row, from 1. */
  readonly pass: Uint16Array;
}

/** @param wanted which pass is taken; null: the last over each depth */
export function toolProfile(
  { samples, worked }: Pick<WorkedCourse, 'samples' | 'worked'>,
  tool: number,
  { firstStep, points, stepM }: DepthGrid,
  wanted: number | null,
): ToolProfile {
  const contact = worked.contact[tool]!;
  const profile = { row: new Int32Array(points).fill(-1), pass: new Uint16Array(points) };
  const passes = new Uint16Array(points);
  const point = (depth: number): number => depth / stepM - firstStep;
  let before = Number.NaN;
  /** Depths below this are passed anew (D2). */
  let freshBelow = -Infinity;
  for (let row = 0; row < samples.rows; row += 1) {
    const depth = contact[row]!;
    if (Number.isNaN(depth)) continue;
    freshBelow = Math.min(freshBelow, depth + BACK_M);
    const isSeen = worked.broken[row] === 0 && depth > before;
    // Points in (before, depth].
    const from = isSeen ? Math.max(0, Math.floor(point(before)) + 1) : 0;
    const to = isSeen ? Math.min(points - 1, Math.floor(point(depth))) : -1;
    for (let i = from; i <= to; i += 1) {
      if ((firstStep + i) * stepM > freshBelow || passes[i] === 0) passes[i]! += 1;
      if (wanted !== null && passes[i] !== wanted) continue;
      profile.row[i] = row;
      profile.pass[i] = passes[i]!;
    }
    if (isSeen) freshBelow = Math.max(freshBelow, depth);
    before = depth;
  }
  return profile;
}
