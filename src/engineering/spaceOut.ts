/**
 * Space-out: the whole liner moved up or down by one shift, and how many metres of isolation joint then stand in gauge. The
 * gauge of the hole is worked out once for each range of the tools; a shift only measures it again.
 */
import { invariant } from '../fault.ts';
import { addInterval, type IntervalSet } from '../intervals.ts';
import { type Expansion, type FitJoint, gaugeOf, type LogStretch, piecesBetween } from './holeFit.ts';

/** Shifts on the curve: ± 25 m by the centimetre. */
export const MOST_SHIFTS = 5001;

export interface SpaceOut {
  /** The best shift, m, positive for deeper; the smallest of those that are as good. */
  readonly shiftM: number;
  readonly inGaugeM: number;
  /** What the joints would have without a shift, and their whole length. */
  readonly asPlannedM: number;
  readonly lengthM: number;
  /** Every shift and its metres in gauge, from the highest liner to the deepest. */
  readonly curve: readonly (readonly [shiftM: number, inGaugeM: number])[];
}

/** In-gauge depths, and the length of them above each interval, for quick measuring. */
interface GaugeSet {
  readonly set: IntervalSet;
  readonly above: readonly number[];
}

function gaugeSet(stretches: readonly LogStretch[], expansion: Expansion): GaugeSet {
  const set: IntervalSet = [];
  const last = stretches.at(-1);
  if (last === undefined) return { set, above: [] };
  for (const piece of piecesBetween(stretches, stretches[0]!.fromM, last.toM, [expansion.minMm, expansion.maxMm])) {
    if (gaugeOf(piece, expansion) === 'inGauge') addInterval(set, piece.fromM, piece.toM);
  }
  const above: number[] = [];
  let sum = 0;
  for (let i = 0; i < set.length; i += 2) {
    above.push(sum);
    sum += set[i + 1]! - set[i]!;
  }
  return { set, above };
}

/** Metres in gauge above a depth. */
function gaugeAbove({ set, above }: GaugeSet, depthM: number): number {
  let low = 0;
  let high = above.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (set[2 * middle]! < depthM) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return 0;
  const i = low - 1;
  return above[i]! + Math.min(depthM, set[2 * i + 1]!) - set[2 * i]!;
}

/** Metres that must lie between two shifts for one to be better: less is rounding. */
const SAME_M = 1e-6;

/**
 * The curve of metres in gauge against the shift, within ± `reachM` by `stepM` (both in m, above 0), and its best. `joints`
 * are those whose place matters: the isolation joints.
 */
export function spaceOut(
  joints: readonly FitJoint[],
  stretches: readonly LogStretch[],
  { reachM, stepM }: { readonly reachM: number; readonly stepM: number },
): SpaceOut {
  const steps = Math.floor(reachM / stepM + SAME_M);
  invariant(
    stepM > 0 && steps >= 0 && 2 * steps + 1 <= MOST_SHIFTS,
    'a step above 0 and no more shifts than the limit',
  );
  const sets = new Map<string, GaugeSet>();
  const keyOf = ({ minMm, maxMm }: Expansion) => `${minMm} ${maxMm}`;
  for (const { expansion } of joints) {
    if (!sets.has(keyOf(expansion))) sets.set(keyOf(expansion), gaugeSet(stretches, expansion));
  }
  const inGaugeAt = (shiftM: number): number => {
    let sum = 0;
    for (const joint of joints) {
      const set = sets.get(keyOf(joint.expansion))!;
      sum += gaugeAbove(set, joint.toM + shiftM) - gaugeAbove(set, joint.fromM + shiftM);
    }
    return sum;
  };
  const curve = Array.from({ length: 2 * steps + 1 }, (_, i) => {
    const shiftM = (i - steps) * stepM;
    return [shiftM, inGaugeAt(shiftM)] as const;
  });
  const asPlannedM = curve[steps]![1];
  let best: readonly [number, number] = curve[steps]!;
  for (let away = 1; away <= steps; away += 1) {
    for (const candidate of [curve[steps - away]!, curve[steps + away]!]) {
      if (candidate[1] > best[1] + SAME_M) best = candidate;
    }
  }
  const lengthM = joints.reduce((sum, joint) => sum + joint.toM - joint.fromM, 0);
  return { shiftM: best[0], inGaugeM: best[1], asPlannedM, lengthM, curve };
}
