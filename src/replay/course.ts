/**
 * The course of a run: its plan, its samples and its journal, from which everything else is worked out. An entry is worked
 * in before the first sample that is not older, as it is live and in `analyse`.
 */
import type { JournalEntry } from '../journal/journalSchema.ts';
import { advance, advanceSample, createRun, type Run } from '../pipeline/run.ts';
import type { TagPolicy } from '../pipeline/tagStep.ts';
import { compileJob } from '../plan/job.ts';
import type { Plan } from '../plan/planSchema.ts';
import { createSampleReader, type SampleColumns } from './sampleColumns.ts';

export interface Course {
  /** The plan that the run began with. */
  readonly plan: Plan;
  readonly tag: TagPolicy;
  /** Added to the depth from the first sample on, m. */
  readonly depthOffsetM: number;
  readonly samples: SampleColumns;
  /** In the order of their instants. */
  readonly entries: readonly JournalEntry[];
}

/** A run on its way along a course: how many samples and entries are worked in. */
export interface Position {
  run: Run;
  /** The plan in force. */
  plan: Plan;
  row: number;
  entry: number;
}

export function startOf(course: Course): Position {
  const run = createRun(compileJob(course.plan), { tag: course.tag });
  run.correctionM = course.depthOffsetM;
  return { run, plan: course.plan, row: 0, entry: 0 };
}

function workEntry(position: Position, entry: JournalEntry): void {
  const { job } = position.run;
  advance(position.run, { kind: 'journal', entry });
  if (entry.action === 'change plan' && position.run.job !== job) position.plan = entry.plan;
  position.entry += 1;
}

/**
 * Works in the rows before `row`, with the entries that belong before them, then the entries up to `ms`.
 * @param each called after each sample
 */
export function workTo(
  course: Course,
  position: Position,
  row: number,
  ms: number,
  each?: (run: Run, row: number) => void,
): void {
  const { samples, entries } = course;
  const sampleAt = createSampleReader(samples);
  const { run } = position;
  let nextMs = instantOf(entries, position.entry);
  for (; position.row < row; position.row += 1) {
    // The run still holds the sample before: it is read anew only behind the entries.
    while (nextMs <= samples.sourceMs[position.row]!) {
      workEntry(position, entries[position.entry]!);
      nextMs = instantOf(entries, position.entry);
    }
    advanceSample(run, sampleAt(position.row));
    each?.(run, position.row);
  }
  while (nextMs <= ms && position.entry < entries.length) {
    workEntry(position, entries[position.entry]!);
    nextMs = instantOf(entries, position.entry);
  }
}

const instantOf = (entries: readonly JournalEntry[], at: number): number =>
  at < entries.length ? Date.parse(entries[at]!.at) : Infinity;

/** The whole course, from its beginning to its end. */
export function workWhole(course: Course): Position {
  const position = startOf(course);
  workTo(course, position, course.samples.rows, Number.MAX_VALUE);
  return position;
}
