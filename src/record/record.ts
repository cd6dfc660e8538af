/**
 * The record of a run, `jointwise-record/1`, in the plan's own units. It can be asked for at any moment; asking changes
 * nothing. Equal plan, stream and journal make equal records, to the byte.
 */

import type { Verdict } from '../causes.ts';
import { inUnits } from '../inUnits.ts';
import { isAboutTheRun } from '../journal/aboutTheRun.ts';
import { PHASE_NAMES, type PhaseName } from '../phases.ts';
import type { LoggedEvent } from '../pipeline/eventLog.ts';
import type { JointTally } from '../pipeline/jointTally.ts';
import { couldBeOf, lengthSigmaM } from '../pipeline/lengthSigma.ts';
import { gapAfterMs } from '../pipeline/period.ts';
import type { PhaseEntry } from '../pipeline/phaseTrack.ts';
import type { Run } from '../pipeline/runState.ts';
import { settleAll } from '../pipeline/sweep.ts';
import type { Joint } from '../plan/job.ts';
import { converter, type UnitSystemConverter } from '../units.ts';
import { engineeringRecord } from './engineeringRecord.ts';
import { RECORD_FORMAT } from './recordFormat.ts';
import type { RecordJoint, RunRecord } from './recordSchema.ts';
import { outcomeOf } from './verdict.ts';

/** What the source counted: frames read, frames and bytes refused by reason. */
export interface SourceCounts {
  readonly frames: number;
  readonly rejected: number;
  readonly reasons: Readonly<Record<string, number>>;
}

const round = (value: number, decimals: number): number => {
  const scale = 10 ** decimals;
  const rounded = Math.round(value * scale) / scale;
  return rounded === 0 ? 0 : rounded;
};
const instant = (ms: number): string => new Date(Math.round(ms)).toISOString();
const maybeInstant = (ms: number): string | null => (Number.isNaN(ms) ? null : instant(ms));

/** Decimals that each quantity is written with: finer than it can be known, coarser than binary noise. */
const DECIMALS = { length: 3, pressure: 1, feed: 3, coverage: 4, minutes: 2 } as const;

/** @throws nothing; a run without samples has an empty record with both ends at 1970. */
export function recordOf(run: Run, source: SourceCounts): RunRecord {
  const tallies = settledTallies(run);
  const units = converter(run.job.units);
  const fromMs = Number.isNaN(run.firstMs) ? 0 : run.firstMs;
  const toMs = Number.isNaN(run.lastMs) ? 0 : run.lastMs;
  const phases = closedPhases(run, toMs);
  const record: RunRecord = {
    format: RECORD_FORMAT,
    units: run.job.units,
    source: {
      frames: source.frames,
      rejected: source.rejected,
      from: instant(fromMs),
      to: instant(toMs),
      reasons: sortedReasons(source.reasons),
    },
    joints: run.job.joints.map((joint) => jointRecord(run, joint, tallies[joint.index]!, units)),
    phases: phases.map((entry) => ({
      phase: entry.phase,
      joint: entry.joint,
      from: instant(entry.fromMs),
      to: instant(entry.toMs),
    })),
    events: [...run.events.events]
      .map((event, index) => ({ event, index }))
      .sort((a, b) => a.event.fromMs - b.event.fromMs || a.index - b.index)
      .map(({ event, index }) => eventRecord(run, event, index, units)),
    minutes: minutesOf(phases),
  };
  Object.assign(record, engineeringRecord(run, units));
  const done = run.journal.entries.filter(({ action }) => !isAboutTheRun(action));
  if (done.length > 0) record.journal = done.map((entry) => ({ ...entry }));
  return record;
}

/** The tallies with every open segment counted, on a copy: the run itself goes on undisturbed. */
export function settledTallies(run: Run): JointTally[] {
  if (run.sweep.open.length === 0) return run.sweep.tallies;
  const copy = structuredClonePlain(run.sweep);
  settleAll(copy, run.job);
  return copy.tallies;
}

/** The state is plain data without cycles. JSON would lose NaN, so it is copied by hand. */
function structuredClonePlain<T>(value: T): T {
  if (Array.isArray(value)) return value.map(structuredClonePlain) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, structuredClonePlain(one)])) as T;
}

/** The phases up to the end of the stream; what came after the last valid sample is no data once it is long enough. */
function closedPhases(run: Run, toMs: number): PhaseEntry[] {
  const entries = run.phases.entries.map((entry) => ({ ...entry }));
  const last = entries[entries.length - 1];
  if (!last) return [];
  last.toMs = toMs;
  const validMs = run.valid.atMs;
  const silent = toMs - validMs > gapAfterMs(run.period, run.job.stream.gapAfterMs);
  if (silent && last.phase !== 'no data' && validMs > last.fromMs) {
    last.toMs = validMs;
    entries.push({ phase: 'no data', joint: last.joint, fromMs: validMs, toMs });
  }
  return entries;
}

function minutesOf(phases: readonly PhaseEntry[]): Partial<Record<PhaseName, number>> {
  const sums = new Map<PhaseName, number>();
  for (const { phase, fromMs, toMs } of phases) sums.set(phase, (sums.get(phase) ?? 0) + (toMs - fromMs));
  const minutes: Partial<Record<PhaseName, number>> = {};
  for (const name of PHASE_NAMES) {
    const ms = sums.get(name);
    if (ms !== undefined) minutes[name] = round(ms / 60_000, DECIMALS.minutes);
  }
  return minutes;
}

function sortedReasons(reasons: Readonly<Record<string, number>>): Record<string, number> {
  const pairs = Object.entries(reasons).filter(([, count]) => count > 0);
  return Object.fromEntries(pairs.sort(([a], [b]) => (a < b ? -1 : 1)));
}

function eventRecord(
  run: Run,
  event: LoggedEvent,
  index: number,
  units: UnitSystemConverter,
): RunRecord['events'][number] {
  const acknowledged = run.journal.acknowledged.find((one) => one.event === index);
  return {
    kind: event.kind,
    priority: event.priority,
    joint: event.joint,
    depth: event.depth === null ? null : round(units.out('length', event.depth), DECIMALS.length),
    from: instant(event.fromMs),
    to: event.toMs === null ? null : instant(event.toMs),
    detail: inUnits(event.detail, run.job.units),
    ...(event.form === undefined ? {} : { form: event.form }),
    ...(acknowledged ? { acknowledged: { by: acknowledged.by, at: acknowledged.at } } : {}),
  };
}

const couldBeRecord = (couldBe: Verdict[]): { couldBe?: Verdict[] } => (couldBe.length > 0 ? { couldBe } : {});

function jointRecord(run: Run, joint: Joint, tally: JointTally, units: UnitSystemConverter): RecordJoint {
  const outcome = outcomeOf(run.job, joint, tally, run.toolDepths);
  const length = (m: number): number => round(units.out('length', m), DECIMALS.length);
  const pressure = (kPa: number): number => round(units.out('pressure', kPa), DECIMALS.pressure);
  const { decisions } = run.journal;
  // A name may be one that every object has.
  const decision = Object.hasOwn(decisions, joint.name) ? decisions[joint.name] : undefined;
  const swept = tally.sweptM > 0;
  return {
    name: joint.name,
    kind: joint.kind,
    ...(joint.zone === undefined ? {} : { zone: joint.zone }),
    top: length(joint.top),
    bottom: length(joint.bottom),
    required: length(joint.requiredM),
    expanded: length(outcome.expandedM),
    unproven: length(outcome.unprovenM),
    uncertainty: length(lengthSigmaM(run, joint, outcome)),
    ...couldBeRecord(couldBeOf(run, joint, outcome)),
    coverage: round(outcome.coverage, DECIMALS.coverage),
    longestGap: joint.recipe ? length(outcome.longestGap) : 0,
    verdict: outcome.verdict,
    gaps: joint.recipe
      ? outcome.gaps
          .map((gap) => ({ from: length(gap.from), to: length(gap.to), cause: gap.cause }))
          .filter((gap) => gap.to > gap.from)
      : [],
    pressure: swept
      ? {
          min: pressure(tally.pressureMin),
          mean: pressure(tally.pressureSum / tally.sweptM),
          max: pressure(tally.pressureMax),
        }
      : null,
    feed:
      tally.feedMinutes > 0 ? { mean: round(units.out('feed', tally.feedM / tally.feedMinutes), DECIMALS.feed) } : null,
    passes: tally.passes,
    stalls: tally.stalls,
    minutes: round(tally.minutes, DECIMALS.minutes),
    startedAt: maybeInstant(tally.startedMs),
    finishedAt: maybeInstant(tally.finishedMs),
    ...(decision ? { decision: { ...decision } } : {}),
  };
}
