/**
 * A run that is played again: any instant of it can be sought, since a copy of the run is kept every so many samples and
 * the rest is counted from the nearest. What it shows at 03:12 is what was shown at 03:12: the same fold of the same inputs.
 */
import { invariant } from '../fault.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { SnapshotMessage } from '../live/messages.ts';
import type { Run } from '../pipeline/run.ts';
import {
  eventStateOf,
  eventsOf,
  eventsRevision,
  jointRevision,
  jointStateOf,
  nowOf,
  stepsOf,
  stepsRevision,
} from '../pipeline/view.ts';
import { copyRun } from './copyRun.ts';
import { type Course, type Position, startOf, workTo } from './course.ts';
import { rowsUpTo } from './sampleColumns.ts';

/** Samples between two copies: what has to be counted again at most, and how many copies lie in memory, both stay small. */
export const COPY_EVERY = 4096;

export interface Player {
  course: Course;
  /** Owned by the player: changed by every seek. */
  at: Position;
  /** Copy i stands after i × COPY_EVERY samples, without the entries that follow them. */
  readonly copies: Position[];
}

const copyOf = (position: Position): Position => ({ ...position, run: copyRun(position.run) });

export function createPlayer(course: Course): Player {
  const at = startOf(course);
  return { course, at, copies: [copyOf(at)] };
}

/** The run goes on: samples were added to the columns, and these are all its entries. What was played stays as it was. */
export function extendPlayer(player: Player, entries: readonly JournalEntry[]): void {
  const { course, at } = player;
  invariant(entries.length >= course.entries.length, 'a journal only grows');
  player.course = { ...course, entries };
  // An entry of the past, had one been slipped in, would make what was counted behind it wrong.
  const first = entries[course.entries.length];
  if (first === undefined) return;
  const firstMs = Date.parse(first.at);
  while (player.copies.length > 1 && player.copies.at(-1)!.run.lastMs >= firstMs) player.copies.pop();
  if (at.run.lastMs >= firstMs) player.at = copyOf(player.copies.at(-1)!);
}

/**
 * Everything up to `ms`: samples and entries that are no later. Returns the run there, which the next call changes.
 * @param each called after each sample that is worked in on the way
 */
export function seek(player: Player, ms: number, each?: (run: Run, row: number) => void): Run {
  const row = rowsUpTo(player.course.samples, ms);
  toNearest(player, row, ms);
  const { course, at, copies } = player;
  while (at.row < row) {
    const next = Math.min(row, (Math.floor(at.row / COPY_EVERY) + 1) * COPY_EVERY);
    workTo(course, at, next, -Infinity, each);
    if (at.row === copies.length * COPY_EVERY) copies.push(copyOf(at));
  }
  workTo(course, at, row, ms, each);
  return at.run;
}

/** On from where it is when that lies before and no copy lies between, else from the copy before `row`. */
function toNearest(player: Player, row: number, ms: number): void {
  const { at, copies, course } = player;
  const copy = copies[Math.min(copies.length - 1, Math.floor(row / COPY_EVERY))]!;
  const lastEntry = course.entries[at.entry - 1];
  const isBehind = at.row > row || (at.row === row && lastEntry !== undefined && Date.parse(lastEntry.at) > ms);
  if (isBehind || copy.row > at.row) player.at = copyOf(copy);
}

/** So many samples on, or back; at the ends it stays. */
export function stepBy(player: Player, samples: number): Run {
  const { sourceMs, rows } = player.course.samples;
  const row = Math.max(1, Math.min(rows, player.at.row + samples));
  return seek(player, rows === 0 ? -Infinity : sourceMs[row - 1]!);
}

/** What the screens show of a run: a snapshot without what is said of the link and the source. */
export type Shown = Pick<SnapshotMessage, 'plan' | 'now' | 'joints' | 'events' | 'steps'>;

export function shownOf({ run, plan }: Position): Shown {
  return {
    plan,
    now: nowOf(run),
    joints: run.job.joints.map(({ index }) => jointStateOf(run, index)),
    events: eventsOf(run).map(eventStateOf),
    steps: stepsOf(run).map((step) => ({ ...step })),
  };
}

/** What was shown last, so that only what has changed since need be told. */
export interface Told {
  readonly run: Run;
  readonly plan: SnapshotMessage['plan'];
  readonly joints: readonly number[];
  readonly events: number;
  readonly steps: number;
}

export const told = ({ run, plan }: Position): Told => ({
  run,
  plan,
  joints: run.job.joints.map(({ index }) => jointRevision(run, index)),
  events: eventsRevision(run),
  steps: stepsRevision(run),
});

export type Changed = Partial<Omit<Shown, 'plan'>>;

/** Null: everything is to be told anew, since it is another copy of the run, or another plan. */
export function changedSince(before: Told, { run, plan }: Position): Changed | null {
  if (before.run !== run || before.plan !== plan) return null;
  return {
    now: nowOf(run),
    joints: run.job.joints
      .filter(({ index }) => jointRevision(run, index) !== before.joints[index])
      .map(({ index }) => jointStateOf(run, index)),
    ...(eventsRevision(run) === before.events ? {} : { events: eventsOf(run).map(eventStateOf) }),
    ...(stepsRevision(run) === before.steps ? {} : { steps: stepsOf(run).map((step) => ({ ...step })) }),
  };
}
