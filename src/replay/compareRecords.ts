/** Two records of one stream beside each other: joints that change verdict, events that come and go, metres gained and lost. */
import type { Verdict } from '../causes.ts';
import { type IntervalSet, measure, subtract, union } from '../intervals.ts';
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import type { UnitSystem } from '../units.ts';

export interface JointDifference {
  readonly name: string;
  /** Null: the joint is in one of the two plans only. */
  readonly before: Verdict | null;
  readonly after: Verdict | null;
  readonly expandedBefore: number;
  readonly expandedAfter: number;
  /** Expanded in the second record and not in the first, by place in the joint; and the other way round. */
  readonly gained: number;
  readonly lost: number;
}

type RecordEvent = RunRecord['events'][number];

export interface Comparison {
  readonly units: UnitSystem;
  /** Those that differ, top down. */
  readonly joints: readonly JointDifference[];
  /** Joints that both records say the same of. */
  readonly alike: number;
  readonly eventsCome: readonly RecordEvent[];
  readonly eventsGone: readonly RecordEvent[];
  readonly gained: number;
  readonly lost: number;
}

/** Lengths are written to a thousandth. */
const ROUNDING = 0.0015;
/** One event in two records begins at most so far apart, s, where its stretches do not overlap. */
const SAME_WITHIN_S = 30;

const toThousandth = (value: number): number => Math.round(value * 1000) / 1000 + 0;

/** What is expanded of a joint is what lies between its gaps; measured from its own top, so that it may have moved. */
function gapsOf({ gaps, top }: RecordJoint): IntervalSet {
  return gaps.reduce<IntervalSet>(
    (set, { from, to }) => union(set, [toThousandth(from - top), toThousandth(to - top)]),
    [],
  );
}

function jointDifference(name: string, a: RecordJoint | undefined, b: RecordJoint | undefined): JointDifference {
  /** Of a joint that has grown, what is new of it and no gap was expanded; of one that has shrunk, no gap was closed by that. */
  const between = (from: RecordJoint, to: RecordJoint): number => {
    const closed = measure(subtract(gapsOf(from), gapsOf(to)));
    const opened = measure(subtract(gapsOf(to), gapsOf(from)));
    const grown = to.required - from.required;
    return toThousandth(Math.max(0, closed - Math.max(0, -grown)) + Math.max(0, grown - opened));
  };
  return {
    name,
    before: a?.verdict ?? null,
    after: b?.verdict ?? null,
    expandedBefore: a?.expanded ?? 0,
    expandedAfter: b?.expanded ?? 0,
    gained: a && b ? between(a, b) : (b?.expanded ?? 0),
    lost: a && b ? between(b, a) : (a?.expanded ?? 0),
  };
}

const isDifferent = (one: JointDifference): boolean =>
  one.before !== one.after ||
  one.gained > ROUNDING ||
  one.lost > ROUNDING ||
  Math.abs(one.expandedAfter - one.expandedBefore) > ROUNDING;

/** @param a the original @param b what stands beside it; both in the units of `a`'s plan */
export function compareRecords(a: RunRecord, b: RunRecord): Comparison {
  const others = new Map(b.joints.map((joint) => [joint.name, joint]));
  const known = new Set(a.joints.map(({ name }) => name));
  const all = [
    ...a.joints.map((joint) => jointDifference(joint.name, joint, others.get(joint.name))),
    ...b.joints.filter(({ name }) => !known.has(name)).map((joint) => jointDifference(joint.name, undefined, joint)),
  ];
  const joints = all.filter(isDifferent);
  const sum = (of: 'gained' | 'lost'): number => toThousandth(joints.reduce((total, one) => total + one[of], 0));
  return {
    units: a.units,
    joints,
    alike: all.length - joints.length,
    eventsCome: unmatched(b.events, a.events),
    eventsGone: unmatched(a.events, b.events),
    gained: sum('gained'),
    lost: sum('lost'),
  };
}

/** Events that have no like in the other record: the same kind at the same time, each taken once. */
function unmatched(events: readonly RecordEvent[], others: readonly RecordEvent[]): RecordEvent[] {
  const left = new Map<string, RecordEvent[]>();
  for (const other of others) left.set(other.kind, [...(left.get(other.kind) ?? []), other]);
  return events.filter((event) => {
    const candidates = left.get(event.kind) ?? [];
    const at = nearest(event, candidates);
    if (at < 0) return true;
    candidates.splice(at, 1);
    return false;
  });
}

/** Index of the one that begins nearest among those that are the same; -1 for none. */
function nearest(event: RecordEvent, candidates: readonly RecordEvent[]): number {
  let best = -1;
  let least = Infinity;
  const from = Date.parse(event.from);
  candidates.forEach((other, i) => {
    const apart = Math.abs(Date.parse(other.from) - from);
    if (apart < least && (apart <= SAME_WITHIN_S * 1000 || overlap(event, other))) {
      best = i;
      least = apart;
    }
  });
  return best;
}

function overlap(a: RecordEvent, b: RecordEvent): boolean {
  const end = ({ to }: RecordEvent): number => (to === null ? Infinity : Date.parse(to));
  return Date.parse(a.from) <= end(b) && Date.parse(b.from) <= end(a);
}
