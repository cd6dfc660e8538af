/**
 * The handover of a shift, worked out from what the run had come to when the period began and what it has come to now.
 * What happened lies in [from, to); what stands, stands at its end.
 */
import type { EventName } from '../events.ts';
import { isAboutTheRun } from '../journal/aboutTheRun.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { FinishNow } from '../live/messages.ts';
import type { Plan } from '../plan/planSchema.ts';
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import { flatLines } from '../signing/flatLines.ts';
import { STANDING } from '../time/activities.ts';
import { rigTimeText } from '../time/rigTime.ts';
import { timeStretches } from '../time/timeSheet.ts';
import type { TimeStretch } from '../time/timeSheetSchema.ts';
import type { HandoverEntry, HandoverRemarksEntry } from './handoverEntry.ts';
import { HANDOVER_ROWS, type HandoverPage } from './handoverPage.ts';

/** A shift, where there was no handover before (common practice). */
const SHIFT_MS = 12 * 3600_000;
/** A stop that is shorter belongs to the work. */
const LEAST_STOP_MS = 60_000;

/** Events that say that a reading, and not the work, was wrong. */
export const SENSOR_EVENTS: readonly EventName[] = [
  'data gap',
  'stuck sensor',
  'unit change',
  'depth jump',
  'depth mismatch',
  'pump mismatch',
];

export interface Period {
  readonly fromMs: number;
  readonly since: HandoverPage['since'];
  /** What the next handover is called. */
  readonly number: number;
  /** As they stand. */
  readonly remarks: string;
}

export interface HandoverInput {
  readonly period: Period;
  readonly toMs: number;
  /** What the run had come to when the period began; null: it begins with the run. */
  readonly before: RunRecord | null;
  readonly now: RunRecord;
  /** In force. */
  readonly plan: Plan;
  readonly entries: readonly JournalEntry[];
  readonly finish: FinishNow;
  /** Rig time less UTC now. */
  readonly offsetMs: number;
}

export const handoversOf = (entries: readonly JournalEntry[]): HandoverEntry[] =>
  entries.filter((entry): entry is HandoverEntry => entry.action === 'handover');

/** The period that is open. @param beginMs of the run @param toMs now */
export function openPeriod(entries: readonly JournalEntry[], beginMs: number, toMs: number): Period {
  const last = entries.map(({ action }) => action).lastIndexOf('handover');
  const remarks = entries
    .slice(last + 1)
    .filter((one): one is HandoverRemarksEntry => one.action === 'handover remarks' && one.handover === undefined)
    .at(-1);
  const known = { number: handoversOf(entries).length + 1, remarks: remarks?.text ?? '' };
  const closed = entries[last];
  if (closed?.action === 'handover') return { ...known, fromMs: Date.parse(closed.to), since: 'the last handover' };
  const fromMs = toMs - SHIFT_MS;
  return fromMs > beginMs
    ? { ...known, fromMs, since: 'twelve hours' }
    : { ...known, fromMs: beginMs, since: 'the start of the run' };
}

export function handoverPage(input: HandoverInput): HandoverPage {
  const { period, toMs, now, plan, offsetMs } = input;
  const leftOut: Record<string, number> = {};
  const rows = <Row>(list: string, all: Row[]): Row[] => {
    if (all.length > HANDOVER_ROWS) leftOut[list] = all.length - HANDOVER_ROWS;
    return all.slice(-HANDOVER_ROWS);
  };
  const stretches = stretchesIn(input);
  const done = doneIn(input, stretches);
  const { recipes, acceptance, limits } = plan;
  return {
    from: new Date(period.fromMs).toISOString(),
    to: new Date(toMs).toISOString(),
    rigFrom: rigTimeText(period.fromMs, offsetMs),
    rigTo: rigTimeText(toMs, offsetMs),
    since: period.since,
    units: now.units,
    done: { ...done, joints: rows('joints', done.joints) },
    stops: rows('stops', stopsOf(stretches, now.events)),
    stoppedMs: stretches.filter(isStanding).reduce((sum, { ms }) => sum + ms, 0),
    events: rows('events', eventsToSee(input)),
    limits: flatLines({ recipes, acceptance, limits }),
    depth: now.depth ? { ...now.depth } : null,
    entries: rows('entries', entriesSince(input)),
    sensors: sensorsOf(input),
    next: nextOf(input),
    remarks: period.remarks,
    leftOut,
  };
}

/** By their order: several entries may bear one instant, and a handover comes between them. */
function entriesSince({ now, entries, period }: HandoverInput): HandoverPage['entries'] {
  const last = entries.map(({ action }) => action).lastIndexOf('handover');
  const before = entries.slice(0, last + 1).filter(({ action }) => !isAboutTheRun(action)).length;
  return (now.journal ?? []).slice(before).filter(({ at }) => Date.parse(at) >= period.fromMs);
}

const isStanding = ({ activity }: TimeStretch): boolean => STANDING.includes(activity);

/** The stretches of the run within the period, cut at its ends. */
function stretchesIn({ period, toMs, now, entries }: HandoverInput): TimeStretch[] {
  return timeStretches(now, entries).flatMap((stretch) => {
    const fromMs = Math.max(period.fromMs, Date.parse(stretch.from));
    const endMs = Math.min(toMs, Date.parse(stretch.to));
    if (!(endMs > fromMs)) return [];
    const [from, to] = [new Date(fromMs).toISOString(), new Date(endMs).toISOString()];
    return [{ ...stretch, from, to, ms: endMs - fromMs }];
  });
}

/** To the digits of a record. */
const tidy = (value: number): number => Math.round(value * 1000) / 1000;

function doneIn({ before, now, period }: HandoverInput, stretches: readonly TimeStretch[]): HandoverPage['done'] {
  const earlier = new Map((before?.joints ?? []).map((joint) => [joint.name, joint]));
  const gained = (joint: RecordJoint): number => Math.max(0, joint.expanded - (earlier.get(joint.name)?.expanded ?? 0));
  const verdictBefore = ({ name, required }: RecordJoint) =>
    earlier.get(name)?.verdict ?? (required > 0 ? 'not reached' : 'not planned');
  const worked = now.joints.filter(
    (joint) =>
      joint.verdict !== verdictBefore(joint) ||
      (joint.finishedAt !== null && Date.parse(joint.finishedAt) > period.fromMs && joint.required > 0),
  );
  const required = now.joints.filter((joint) => joint.required > 0);
  const stands = stretches.filter(({ activity }) => activity === 'add stands');
  const sum = (values: readonly number[]): number => tidy(values.reduce((all, value) => all + value, 0));
  return {
    length: sum(now.joints.map(gained)),
    joints: worked.map((joint) => ({
      name: joint.name,
      kind: joint.kind,
      length: tidy(gained(joint)),
      coverage: joint.coverage,
      verdict: joint.verdict,
      before: verdictBefore(joint),
    })),
    standsAdded: stands.length,
    standsMs: stands.reduce((all, { ms }) => all + ms, 0),
    inAll: {
      length: sum(required.map(({ expanded }) => expanded)),
      required: sum(required.map((joint) => joint.required)),
      joints: required.filter(({ verdict }) => verdict === 'expanded').length,
      jointsRequired: required.length,
    },
  };
}

function stopsOf(stretches: readonly TimeStretch[], events: RunRecord['events']): HandoverPage['stops'] {
  const stops = stretches.filter(
    (stretch) => (isStanding(stretch) && stretch.ms >= LEAST_STOP_MS) || stretch.lost !== null,
  );
  return stops.map(({ activity, joint, from, to, ms, lost }) => {
    const kinds = events
      .filter((event) => event.from < to && (event.to === null || event.to > from))
      .map(({ kind }) => kind);
    return { activity, joint, from, to, ms, lost, events: [...new Set(kinds)] };
  });
}

function eventsToSee({ now, period, toMs }: HandoverInput): HandoverPage['events'] {
  return now.events
    .filter(({ from, to, acknowledged }) => {
      const goesOn = to === null || Date.parse(to) >= toMs;
      const unseen = !acknowledged && (to === null || Date.parse(to) > period.fromMs);
      return Date.parse(from) < toMs && (goesOn || unseen);
    })
    .map(({ kind, priority, joint, depth, from, to, detail, acknowledged }) => ({
      kind,
      priority,
      joint,
      depth,
      from,
      to,
      detail,
      acknowledged: acknowledged !== undefined,
    }));
}

function sensorsOf({ now, period, toMs }: HandoverInput): HandoverPage['sensors'] {
  return SENSOR_EVENTS.flatMap((kind) => {
    const found = now.events.filter(
      (event) =>
        event.kind === kind &&
        Date.parse(event.from) < toMs &&
        (event.to === null || Date.parse(event.to) >= period.fromMs),
    );
    const last = found.at(-1);
    if (!last) return [];
    const ms = found.reduce((sum, { from, to }) => {
      const end = Math.min(toMs, to === null ? toMs : Date.parse(to));
      return sum + Math.max(0, Math.round(end - Math.max(period.fromMs, Date.parse(from))));
    }, 0);
    const open = found.some(({ to }) => to === null);
    return [{ kind, times: found.length, ms, open, last: last.detail, lastFrom: last.from }];
  });
}

/** Joints come in the order in which the tools reach them, from the top down. */
function nextOf({ now, finish }: HandoverInput): HandoverPage['next'] {
  const left = ({ required, expanded }: RecordJoint): number => tidy(Math.max(0, required - expanded));
  const open = now.joints.filter(({ verdict }) => verdict === 'in progress' || verdict === 'not reached');
  const joint = open.find(({ verdict }) => verdict === 'in progress') ?? open[0];
  const range = (of: FinishNow['trip']) =>
    of && { from: new Date(of.fromMs).toISOString(), to: new Date(of.toMs).toISOString() };
  return {
    joint: joint ? { name: joint.name, kind: joint.kind, left: left(joint) } : null,
    left: tidy(open.reduce((sum, one) => sum + left(one), 0)),
    jointsLeft: open.length,
    jointDone: range(finish.joint),
    tripDone: range(finish.trip),
    toDecide: now.joints
      .filter(({ verdict, decision }) => (verdict === 'short' || verdict === 'unproven') && !decision)
      .map(({ name }) => name),
  };
}
