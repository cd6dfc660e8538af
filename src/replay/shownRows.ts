/** What was shown at each sample of a run and is worked out, not read: kept by row while the run is played through. */
import type { Run } from '../pipeline/run.ts';
import { setDownNow } from '../pipeline/view.ts';
import { type Course, type Position, startOf, workTo } from './course.ts';
import { type Player, seek } from './player.ts';

/** Columns by row, longer than the run where there is room; NaN: not known. */
export interface ShownRows {
  rows: number;
  /** Of the string's end, m. */
  depth: Float32Array;
  /** m/min, down is positive. */
  feed: Float32Array;
  /** Weight that stands on the tool, kN. */
  setDown: Float32Array;
}

const none = new Float32Array(0);
export const noRows = (): ShownRows => ({ rows: 0, depth: none, feed: none, setDown: none });

function makeRoomFor(shown: ShownRows, rows: number): void {
  if (shown.depth.length >= rows) return;
  const longer = (before: Float32Array): Float32Array => {
    const column = new Float32Array(Math.max(rows, 2 * before.length));
    column.set(before);
    return column;
  };
  shown.depth = longer(shown.depth);
  shown.feed = longer(shown.feed);
  shown.setDown = longer(shown.setDown);
}

function noteRow(shown: ShownRows, run: Run, row: number): void {
  const { depth } = run.endDepth;
  shown.depth[row] = depth + run.correctionM + run.depthAtTool.stretchM;
  shown.feed[row] = Number.isNaN(depth) ? Number.NaN : run.motion.feed;
  shown.setDown[row] = setDownNow(run, run.sample!);
}

/** Plays what has not been played yet, and leaves the player at the end of the run. */
export function playThrough(player: Player, shown: ShownRows): void {
  const { rows } = player.course.samples;
  makeRoomFor(shown, rows);
  seek(player, Infinity, (run, row) => noteRow(shown, run, row));
  shown.rows = rows;
}

/** The whole course worked once, with what was shown on its way. */
export function workNoting(course: Course): { readonly position: Position; readonly shown: ShownRows } {
  const { rows } = course.samples;
  const position = startOf(course);
  const shown = noRows();
  makeRoomFor(shown, rows);
  workTo(course, position, rows, Number.MAX_VALUE, (run, row) => noteRow(shown, run, row));
  shown.rows = rows;
  return { position, shown };
}
