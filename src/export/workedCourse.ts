/** A course worked through once, with what the files for others hold beside the samples, row by row. */
import type { Run } from '../pipeline/run.ts';
import { netSetDownOf } from '../pipeline/setDown.ts';
import type { Job } from '../plan/job.ts';
import type { Plan } from '../plan/planSchema.ts';
import { recordOf, type SourceCounts } from '../record/record.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import { type Course, type Position, startOf, workTo } from '../replay/course.ts';
import type { SampleColumns } from '../replay/sampleColumns.ts';

/** Worked between two turns: some milliseconds, so that a live run goes on meanwhile. */
const ROWS_A_TURN = 512;
/** The string does not move further than this between two samples: it was set to another depth, m. */
const LONGEST_STEP_M = 5;

/** By row, in inside units; NaN: not known. */
export interface WorkedColumns {
  /** Depth of each tool's contact, by tool. */
  readonly contact: readonly Float64Array[];
  readonly feed: Float64Array;
  readonly setDown: Float64Array;
  readonly toolPressure: Float64Array;
  /** 1: the depth of this row does not follow from that of the row before by a movement that was seen. */
  readonly broken: Uint8Array;
}

export interface WorkedCourse {
  readonly samples: SampleColumns;
  readonly worked: WorkedColumns;
  readonly record: RunRecord;
  /** Of the plan in force at the end. */
  readonly job: Job;
  /** That the run began with. */
  readonly firstPlan: Plan;
  readonly entries: Course['entries'];
  /** Names of joints and tools of all plans that were in force, the first plan's first. */
  readonly joints: readonly string[];
  readonly tools: readonly string[];
}

function plansOf(course: Course): Plan[] {
  return [course.plan, ...course.entries.flatMap((entry) => (entry.action === 'change plan' ? [entry.plan] : []))];
}

function columnsFor(course: Course): WorkedColumns & { readonly names: readonly string[] } {
  const { rows } = course.samples;
  const unknown = (): Float64Array => new Float64Array(rows).fill(Number.NaN);
  const plans = plansOf(course);
  const most = Math.max(...plans.map(({ tools }) => tools.length));
  const names = Array.from({ length: most }, (_, i) => plans.find(({ tools }) => tools[i])!.tools[i]!.name);
  return {
    names,
    contact: names.map(unknown),
    feed: unknown(),
    setDown: unknown(),
    toolPressure: unknown(),
    broken: new Uint8Array(rows),
  };
}

/** The state that the depth of the row before was judged by. */
interface Before {
  job: Job | null;
  correctionM: number;
  ms: number;
}

function isBroken(run: Run, before: Before, row: number, { contact }: WorkedColumns): boolean {
  if (row === 0 || run.job !== before.job || run.correctionM !== before.correctionM) return true;
  if (run.lastMs - before.ms > run.job.stream.gapAfterMs) return true;
  return Math.abs(contact[0]![row]! - contact[0]![row - 1]!) > LONGEST_STEP_M;
}

function takeRow(run: Run, row: number, into: WorkedColumns, before: Before): void {
  const { sample, endDepth } = run;
  // A row without a depth leaves the tools where they were: nothing is known of them there.
  const known = endDepth.atMs === run.lastMs && !Number.isNaN(endDepth.depth);
  if (known) {
    for (let i = 0; i < run.toolDepths.length; i += 1) into.contact[i]![row] = run.toolDepths[i]!;
    into.feed[row] = run.motion.feed;
    into.toolPressure[row] = run.pressures.tool;
    if (sample && !run.slips.in) into.setDown[row] = netSetDownOf(run.stringWeight, sample);
  }
  into.broken[row] = isBroken(run, before, row, into) ? 1 : 0;
  before.job = run.job;
  before.correctionM = run.correctionM;
  before.ms = run.lastMs;
}

/**
 * Yields the rows that are worked in after each turn.
 * @returns what is known at the end; without a sample it has an empty record
 */
export function* workCourse(course: Course, source: SourceCounts): Generator<number, WorkedCourse> {
  const { samples } = course;
  const { names, ...worked } = columnsFor(course);
  const position = startOf(course);
  const before: Before = { job: null, correctionM: 0, ms: Number.NaN };
  const take = (run: Run, row: number): void => takeRow(run, row, worked, before);
  while (position.row < samples.rows) {
    workTo(course, position, Math.min(samples.rows, position.row + ROWS_A_TURN), -Infinity, take);
    yield position.row;
  }
  workTo(course, position, samples.rows, Number.MAX_VALUE);
  return ended(course, position, worked, names, source);
}

function ended(
  course: Course,
  { run }: Position,
  worked: WorkedColumns,
  tools: readonly string[],
  source: SourceCounts,
): WorkedCourse {
  const joints = [...new Set(plansOf(course).flatMap(({ liner }) => liner.joints.map(({ name }) => name)))];
  return {
    samples: course.samples,
    worked,
    record: recordOf(run, source),
    job: run.job,
    firstPlan: course.plan,
    entries: course.entries,
    joints,
    tools,
  };
}
