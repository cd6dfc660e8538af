/**
 * The joints of two runs beside each other. Joints of one name belong together; of two liners that share no name, those
 * that take the same place: the n-th isolation joint, the n-th screen. What is gained and lost is told by place in the joint,
 * so that a joint may have moved.
 */
import { clip, type IntervalSet, measure, subtract, toSpans } from '../intervals.ts';
import type { JointState } from '../live/messages.ts';
import type { Job, Joint } from '../plan/job.ts';

export interface JointPair {
  /** Indices in either job; null: the other one has none that belongs to it. */
  readonly a: number | null;
  readonly b: number | null;
  /** Expanded in the second and not in the first, and the other way round; from the top of the joint, m. */
  readonly gained: readonly (readonly [from: number, to: number])[];
  readonly lost: readonly (readonly [from: number, to: number])[];
  readonly gainedM: number;
  readonly lostM: number;
}

export interface JointsBeside {
  readonly matchedBy: 'name' | 'place';
  /** Joints that are to be expanded in either; those of the first top down, then what only the second one has. */
  readonly pairs: readonly JointPair[];
}

export interface JointsOf {
  readonly job: Pick<Job, 'joints'>;
  readonly joints: readonly JointState[];
}

/** Depth is added up in floating point: a sliver is neither gained nor lost, m. */
const SLIVER_M = 0.002;

export function jointsBeside(a: JointsOf, b: JointsOf): JointsBeside {
  const ours = a.job.joints.filter(({ requiredM }) => requiredM > 0);
  const theirs = b.job.joints.filter(({ requiredM }) => requiredM > 0);
  const names = new Set(theirs.map(({ name }) => name));
  const matchedBy = ours.some(({ name }) => names.has(name)) ? 'name' : 'place';
  const keyed = (joints: readonly Joint[]) => keysOf(joints, matchedBy);
  const others = new Map(keyed(theirs));
  const pairs = keyed(ours).map(([key, joint]) => {
    const other = others.get(key) ?? null;
    others.delete(key);
    return pairOf(joint, other, a, b);
  });
  return { matchedBy, pairs: [...pairs, ...[...others.values()].map((joint) => pairOf(null, joint, a, b))] };
}

function keysOf(joints: readonly Joint[], by: JointsBeside['matchedBy']): [string, Joint][] {
  const counts = new Map<string, number>();
  return joints.map((joint) => {
    if (by === 'name') return [joint.name, joint];
    const count = (counts.get(joint.kind) ?? 0) + 1;
    counts.set(joint.kind, count);
    return [`${joint.kind} ${count}`, joint];
  });
}

function pairOf(a: Joint | null, b: Joint | null, inA: JointsOf, inB: JointsOf): JointPair {
  const before = expandedOf(a, inA);
  const after = expandedOf(b, inB);
  const gained = withoutSlivers(subtract(after, before));
  const lost = withoutSlivers(subtract(before, after));
  return {
    a: a?.index ?? null,
    b: b?.index ?? null,
    gained: toSpans(gained),
    lost: toSpans(lost),
    gainedM: measure(gained),
    lostM: measure(lost),
  };
}

/** Of the part to be expanded, from the joint's own top. */
function expandedOf(joint: Joint | null, { joints }: JointsOf): IntervalSet {
  if (!joint) return [];
  const { index, from, to, top } = joint;
  return clip((joints[index]?.expanded ?? []).flat(), from, to).map((depth) => depth - top);
}

function withoutSlivers(set: IntervalSet): IntervalSet {
  return toSpans(set)
    .filter(([from, to]) => to - from > SLIVER_M)
    .flat();
}
