/**
 * A run worked through for its report: everything that is known at its end, and by sample what is worked out from the readings.
 * It can go on where it stopped, so that the report of a run that is still being worked is not counted from the beginning.
 */

import { feedPerTurnOf } from '../pipeline/rollingQuality.ts';
import type { Run } from '../pipeline/run.ts';
import { setDownNow } from '../pipeline/view.ts';
import type { Plan } from '../plan/planSchema.ts';
import { type Course, type Position, startOf, workTo } from '../replay/course.ts';
import { rowsUpTo, type SampleColumns } from '../replay/sampleColumns.ts';

/** By row of the samples; NaN: not known. */
export interface WorkedColumns {
  /** Of the string's end as it was shown, m. */
  depth: Float32Array;
  /** m/min. */
  feed: Float32Array;
  /** kN. */
  setDown: Float32Array;
  /** kPa. */
  toolPressure: Float32Array;
  /** m a turn. */
  feedPerTurn: Float32Array;
}

/** The depth was put right: from one correction to another, m. */
export interface Correction {
  readonly atMs: number;
  readonly before: number;
  readonly after: number;
  /** The journal's entry, by its number; null: a depth tag that was applied without confirmation. */
  readonly entry: number | null;
}

/** A plan, and since when it holds. */
export interface PlanVersion {
  readonly plan: Plan;
  readonly fromMs: number;
  /** The journal's entry that brought it in, by its number; null: the one that the run began with. */
  readonly entry: number | null;
}

export interface WorkedRun {
  course: Course;
  readonly position: Position;
  readonly columns: WorkedColumns;
  readonly corrections: Correction[];
  readonly versions: PlanVersion[];
}

/** Rows that are worked before whoever waits may do something else. */
export const ROWS_A_TURN = 2000;

const COLUMNS = ['depth', 'feed', 'setDown', 'toolPressure', 'feedPerTurn'] as const;

export function startWorking(course: Course): WorkedRun {
  const empty = (): Float32Array => new Float32Array(0);
  const columns = {
    depth: empty(),
    feed: empty(),
    setDown: empty(),
    toolPressure: empty(),
    feedPerTurn: empty(),
  };
  const versions: PlanVersion[] = [{ plan: course.plan, fromMs: Number.NEGATIVE_INFINITY, entry: null }];
  return { course, position: startOf(course), columns, corrections: [], versions };
}

/**
 * Works in what has not been worked yet, in turns.
 * @param course the same run, perhaps with more samples and more entries behind
 */
export function* workOn(worked: WorkedRun, course: Course): Generator<void, void> {
  worked.course = course;
  const { position } = worked;
  const { samples, entries } = course;
  makeRoom(worked.columns, samples.rows);
  while (position.row < samples.rows || position.entry < entries.length) {
    const entry = entries[position.entry];
    const entryMs = entry ? Date.parse(entry.at) : Number.POSITIVE_INFINITY;
    const row = Math.min(position.row + ROWS_A_TURN, rowsBefore(samples, entryMs));
    // The samples before the next entry, then those of its instant: so each change is known to be its own.
    if (row > position.row) step(worked, row, Number.NEGATIVE_INFINITY);
    else step(worked, row, entryMs);
    yield;
  }
}

/** Samples that are older than `ms`. */
function rowsBefore(samples: SampleColumns, ms: number): number {
  const row = rowsUpTo(samples, ms);
  return row > 0 && samples.sourceMs[row - 1] === ms ? row - 1 : row;
}

/** The whole of it at once. */
export function workedRun(course: Course): WorkedRun {
  const worked = startWorking(course);
  for (const _ of workOn(worked, course));
  return worked;
}

function makeRoom(columns: WorkedColumns, rows: number): void {
  if (columns.depth.length >= rows) return;
  for (const name of COLUMNS) {
    const wide = new Float32Array(Math.max(rows, Math.ceil(1.5 * columns[name].length)));
    wide.set(columns[name]);
    columns[name] = wide;
  }
}

function step(worked: WorkedRun, row: number, ms: number): void {
  const { course, position, columns } = worked;
  let seen: Seen = { plan: position.plan, correctionM: position.run.correctionM, entry: position.entry };
  const note = (): void => {
    noteChanges(worked, seen);
    seen = { plan: position.plan, correctionM: position.run.correctionM, entry: position.entry };
  };
  workTo(course, position, row, ms, (run, at) => {
    keep(columns, run, at);
    if (run.correctionM !== seen.correctionM) note();
  });
  note();
}

function keep(columns: WorkedColumns, run: Run, row: number): void {
  const isKnown = run.endDepth.atMs === run.lastMs;
  columns.depth[row] = isKnown ? run.endDepth.depth + run.correctionM + run.depthAtTool.stretchM : Number.NaN;
  columns.feed[row] = isKnown ? run.motion.feed : Number.NaN;
  columns.setDown[row] = isKnown ? setDownNow(run, run.sample!) : Number.NaN;
  columns.toolPressure[row] = isKnown ? run.pressures.tool : Number.NaN;
  columns.feedPerTurn[row] = isKnown ? feedPerTurnOf(run) : Number.NaN;
}

interface Seen {
  readonly plan: Plan;
  readonly correctionM: number;
  /** Entries that had been worked in. */
  readonly entry: number;
}

/** What a stretch of samples, or the entries of one instant, have changed. */
function noteChanges({ course, position, corrections, versions }: WorkedRun, seen: Seen): void {
  const { entries } = course;
  const { run } = position;
  const lastOf = (action: string, from: number): number | null => {
    for (let i = position.entry - 1; i >= from; i -= 1) if (entries[i]!.action === action) return i;
    return null;
  };
  if (position.plan !== seen.plan) {
    const entry = lastOf('change plan', seen.entry);
    const fromMs = entry === null ? run.lastMs : Date.parse(entries[entry]!.at);
    versions.push({ plan: position.plan, fromMs, entry });
  }
  if (run.correctionM === seen.correctionM) return;
  // A depth that was set before the first one was read takes effect later than it was entered.
  const from = run.depthAtTool.corrected === 'by the journal' ? 0 : seen.entry;
  const entry = lastOf('set depth', from);
  const atMs = entry === null ? run.lastMs : Date.parse(entries[entry]!.at);
  corrections.push({ atMs, before: seen.correctionM, after: run.correctionM, entry });
}
