/**
 * One segment of the sweep, once it is settled, counted into the joints that it went through (rules M1, M2 and M5 of sweep.ts).
 */
import { covers } from '../intervals.ts';
import type { Job, Joint, Recipe } from '../plan/job.ts';
import { type JointTally, type SweptCause, tallyExpanded, tallyFailed, tallyPass, tallyStretch } from './jointTally.ts';
import { isIntended } from './work.ts';

/** One stretch between two valid samples. Depths are those of the end of the string, corrected, m. */
export interface Segment {
  fromMs: number;
  toMs: number;
  fromDepth: number;
  toDepth: number;
  fromPressure: number;
  toPressure: number;
  /** Pressure at the tool, for the recipes that are judged on it. */
  fromToolPressure: number;
  toToolPressure: number;
  fromRotation: number;
  toRotation: number;
  /** Whether the string was going down, not jittering in place: only then its minutes count as feed. */
  rolling: boolean;
  /** Bit 0: too fast for isolation joints; bit 1: too fast for screens. */
  tooFast: number;
  /** The same for feed per turn. */
  tooMuchPerTurn: number;
}

const proofBit = (recipe: Recipe): number => (recipe.kind === 'isolation' ? 1 : 2);
/** Index of the first joint whose bottom lies below `depth`. */
function firstJointBelow(joints: readonly Joint[], depth: number): number {
  let low = 0;
  let high = joints.length;
  while (low < high) {
    const mid = (low + high) >>> 1;
    if (joints[mid]!.bottom <= depth) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Visits the joints that `tool` may expand and the part of [from, to) in each. */
export function eachJoint(
  job: Job,
  tool: number,
  from: number,
  to: number,
  visit: (joint: Joint, from: number, to: number, recipe: Recipe) => void,
): void {
  for (let i = firstJointBelow(job.joints, from); i < job.joints.length; i += 1) {
    const joint = job.joints[i]!;
    if (joint.top >= to) return;
    if (!joint.recipe?.tools.includes(tool)) continue;
    const a = Math.max(from, joint.from);
    const b = Math.min(to, joint.to);
    if (b > a) visit(joint, a, b, joint.recipe);
  }
}

export function countSegment(tallies: readonly JointTally[], job: Job, segment: Segment): void {
  if (!(segment.toDepth > segment.fromDepth)) {
    if (segment.rolling) countStanding(tallies, job, segment);
    return;
  }
  for (const tool of job.tools) {
    const from = segment.fromDepth - tool.offsetM;
    const to = segment.toDepth - tool.offsetM;
    eachJoint(job, tool.index, from, to, (joint, a, b, recipe) => {
      countStretch(tallies[joint.index]!, recipe, segment, tool.index, from, a, b);
    });
  }
}

/** A segment in which the readings show no advance although the string goes down: its time is feed time all the same. */
function countStanding(tallies: readonly JointTally[], job: Job, segment: Segment): void {
  for (const tool of job.tools) {
    const at = segment.toDepth - tool.offsetM;
    const joint = job.joints[firstJointBelow(job.joints, at)];
    if (!joint?.recipe?.tools.includes(tool.index) || at < joint.from || at >= joint.to) continue;
    tallies[joint.index]!.feedMinutes += (segment.toMs - segment.fromMs) / 60_000;
  }
}

/** One tool's stretch [a, b) of one joint, within a segment whose tool depth starts at `start`. */
function countStretch(
  tally: JointTally,
  recipe: Recipe,
  segment: Segment,
  tool: number,
  start: number,
  a: number,
  b: number,
): void {
  const length = segment.toDepth - segment.fromDepth;
  const shareA = (a - start) / length;
  const shareB = (b - start) / length;
  const { fromRotation, toRotation, fromMs, toMs } = segment;
  const atTool = recipe.pressureAt === 'tool';
  const fromPressure = atTool ? segment.fromToolPressure : segment.fromPressure;
  const toPressure = atTool ? segment.toToolPressure : segment.toPressure;
  tally.swept = true;
  tally.revision += 1;
  if (isPass(tally, recipe, segment, Math.max(fromPressure, toPressure), a, b)) {
    tallyPass(tally, tool, a, b);
    tallyStretch(
      tally,
      b - a,
      segment.rolling ? ((toMs - fromMs) / 60_000) * (shareB - shareA) : 0,
      fromPressure + (toPressure - fromPressure) * shareA,
      fromPressure + (toPressure - fromPressure) * shareB,
    );
    const atA = fromMs + (toMs - fromMs) * shareA;
    const atB = fromMs + (toMs - fromMs) * shareB;
    if (!(tally.startedMs <= atA)) tally.startedMs = atA;
    if (!(tally.finishedMs >= atB)) tally.finishedMs = atB;
  }
  const pressed = holds(fromPressure, toPressure, recipe.pressureMinKpa, pressedRange);
  const turned = holds(fromRotation, toRotation, recipe.rpmMin, turnedRange);
  // The ends of a segment are taken as they are: worked out from a share they would miss by a rounding.
  const depthAt = (share: number): number => (share === 0 ? a : share === 1 ? b : start + length * share);
  const pressedFrom = Math.max(a, depthAt(pressed[0]));
  const pressedTo = Math.min(b, depthAt(pressed[1]));
  if (pressed[0] > pressed[1]) {
    tallyFailed(tally, 'low pressure', a, b);
    return;
  }
  failOutside(tally, 'low pressure', a, b, pressedFrom, pressedTo);
  if (!(pressedTo > pressedFrom)) return;
  const turnedFrom = Math.max(pressedFrom, depthAt(turned[0]));
  const turnedTo = Math.min(pressedTo, depthAt(turned[1]));
  if (turned[0] > turned[1]) {
    tallyFailed(tally, 'no rotation', pressedFrom, pressedTo);
    return;
  }
  failOutside(tally, 'no rotation', pressedFrom, pressedTo, turnedFrom, turnedTo);
  if (!(turnedTo > turnedFrom)) return;
  if (segment.tooFast & proofBit(recipe)) tallyFailed(tally, 'fast feed', turnedFrom, turnedTo);
  else if (segment.tooMuchPerTurn & proofBit(recipe)) tallyFailed(tally, 'high feed per turn', turnedFrom, turnedTo);
  else tallyExpanded(tally, turnedFrom, turnedTo);
}

/**
 * Whether a stretch is part of a pass and of the figures. Lowering the string without pumps or rotation is not, nor is going
 * over expanded ground at a pressure that is another tool's. Its gaps are gaps all the same.
 */
function isPass(tally: JointTally, recipe: Recipe, segment: Segment, pressure: number, a: number, b: number): boolean {
  if (!isIntended(recipe, pressure, Math.max(segment.fromRotation, segment.toRotation))) return false;
  return !(pressure < recipe.pressureMinKpa) || !covers(tally.expanded, a, b);
}

/** Marks what of [a, b) is not in [from, to) as failed. */
function failOutside(tally: JointTally, cause: SweptCause, a: number, b: number, from: number, to: number): void {
  if (!(to > from)) {
    tallyFailed(tally, cause, a, b);
    return;
  }
  if (from > a) tallyFailed(tally, cause, a, from);
  if (to < b) tallyFailed(tally, cause, to, b);
}

const pressedRange: [number, number] = [0, 1];
const turnedRange: [number, number] = [0, 1];

/** Where on a straight line from `from` to `to` (shares 0 to 1) the value is at least `min` (M2). Empty: [1, 0]. */
function holds(from: number, to: number, min: number, out: [number, number]): [number, number] {
  out[0] = 0;
  out[1] = 1;
  if (min === -Infinity) return out;
  const fromHolds = from >= min;
  const toHolds = to >= min;
  if (fromHolds && toHolds) return out;
  if (!fromHolds && !toHolds) {
    out[0] = 1;
    out[1] = 0;
    return out;
  }
  const crossing = (min - from) / (to - from);
  if (fromHolds) out[1] = crossing;
  else out[0] = crossing;
  return out;
}
