/**
 * From the movement of the tools to expanded metres: the rules of "how a metre becomes an expanded metre".
 *
 * M1 Only depth swept forward counts, for a joint of whose recipe the tool is one, inside the part to be expanded.
 * M2 It counts where pressure, rotation and feed hold; pressure and rotation are straight lines between two samples,
 *    and the flip lies where the line crosses the bound.
 * M3 Feed is judged by what the depth readings prove (feedProof.ts), per segment between samples.
 * M4 Depth swept across a stretch without data is unproven, whatever the ends say.
 * M5 Overlaps count once; a good pass repairs an earlier bad one; a bad pass never takes a good one away.
 */
import { covers } from '../intervals.ts';
import type { Job, Joint, Recipe } from '../plan/job.ts';
import {
  addSegment,
  createFeedProof,
  type FastStretch,
  type FeedProof,
  restartFeedProof,
  settledUpTo,
} from './feedProof.ts';
import {
  createJointTally,
  type JointTally,
  type SweptCause,
  tallyExpanded,
  tallyFailed,
  tallyPass,
  tallyStretch,
  tallyUnseen,
} from './jointTally.ts';
import { isIntended } from './work.ts';

/** One stretch between two valid samples. Depths are those of the end of the string, corrected, m. */
export interface Segment {
  fromMs: number;
  toMs: number;
  fromDepth: number;
  toDepth: number;
  fromPressure: number;
  toPressure: number;
  fromRotation: number;
  toRotation: number;
  /** Whether the string was going down, not jittering in place: only then its minutes count as feed. */
  rolling: boolean;
  /** Bit 0: too fast for isolation joints; bit 1: too fast for screens. */
  tooFast: number;
  /** The same for feed per turn. */
  tooMuchPerTurn: number;
}

export interface Sweep {
  proofs: [FeedProof, FeedProof];
  /** The same with turns in the place of minutes. */
  perTurnProofs: [FeedProof, FeedProof];
  /** Segments not yet settled; the first one starts at sample number `base`. */
  open: Segment[];
  base: number;
  /** Of the newest segment, NaN before the first, ms; and how many segments since one was longer than the one before. */
  intervalMs: number;
  evenFor: number;
  tallies: JointTally[];
}

/** Stamps are printed to the second (WITS items 05 and 06): two frames a period apart may be a second further by them. */
const STAMP_STEP_MS = 1000;
const EVEN_SEGMENTS = 8;

/** Open segments are settled at this number at the latest: a feed that hovers at its bound must not grow memory. */
const MOST_OPEN = 240;

export function createSweep(job: Job): Sweep {
  return {
    proofs: [createFeedProof(), createFeedProof()],
    perTurnProofs: [createFeedProof(), createFeedProof()],
    open: [],
    base: 0,
    intervalMs: Number.NaN,
    evenFor: 0,
    tallies: job.joints.map(() => createJointTally(job.tools.length)),
  };
}

const allProofs = (sweep: Sweep): FeedProof[] => [...sweep.proofs, ...sweep.perTurnProofs];

const proofBit = (recipe: Recipe): number => (recipe.kind === 'isolation' ? 1 : 2);
const stretch: FastStretch = { from: 0, to: 0 };

/**
 * Adds a segment. `advanceM`: its metres by the finest reading there is; `tolerance`: what they may be wrong by, m.
 * Returns the recipes (bits as in `Segment.tooFast`) whose feed is too fast up to now, and writes since when to `fastFromMs`.
 */
export function addSweep(
  sweep: Sweep,
  job: Job,
  segment: Segment,
  advanceM: number,
  tolerance: number,
  fastFromMs: [number, number],
): number {
  const minutes = (segment.toMs - segment.fromMs) / 60_000;
  const rpm = (segment.fromRotation + segment.toRotation) / 2;
  const turns = rpm * minutes;
  const late = lateMinutes(sweep, segment.toMs - segment.fromMs);
  sweep.open.push(segment);
  let fast = 0;
  for (let r = 0; r < 2; r += 1) {
    const recipe = r === 0 ? job.recipes.isolation : job.recipes.screen;
    const proof = sweep.proofs[r]!;
    const wasFast = proof.fast;
    const perTurn = Number.isNaN(turns) ? Infinity : (recipe?.feedPerTurnMaxM ?? Infinity);
    addSegment(sweep.perTurnProofs[r]!, advanceM, turns, perTurn, tolerance, stretch, rpm * late);
    for (let n = Math.max(stretch.from, sweep.base); n < stretch.to; n += 1)
      sweep.open[n - sweep.base]!.tooMuchPerTurn |= 1 << r;
    addSegment(proof, advanceM, minutes, recipe?.feedMaxMPerMin ?? Infinity, tolerance, stretch, late);
    if (stretch.to === stretch.from) continue;
    for (let n = Math.max(stretch.from, sweep.base); n < stretch.to; n += 1)
      sweep.open[n - sweep.base]!.tooFast |= 1 << r;
    fast |= 1 << r;
    if (!wasFast) fastFromMs[r] = sweep.open[Math.max(0, stretch.from - sweep.base)]!.fromMs;
  }
  const settled = Math.max(Math.min(...allProofs(sweep).map(settledUpTo)), sweep.base + sweep.open.length - MOST_OPEN);
  settle(sweep, job, settled - sweep.base);
  return fast;
}

/**
 * By how much the stamp of a segment's end may be too late: as far as it is longer than the one before, where that happens
 * now and then only. Frames a little more than a second apart look like that; a frame in one and two seconds does not.
 */
function lateMinutes(sweep: Sweep, intervalMs: number): number {
  const longerMs = Number.isNaN(sweep.intervalMs) ? 0 : intervalMs - sweep.intervalMs;
  const even = sweep.evenFor;
  sweep.intervalMs = intervalMs;
  sweep.evenFor = longerMs > 0 ? 0 : even + 1;
  return even < EVEN_SEGMENTS ? 0 : Math.max(0, Math.min(STAMP_STEP_MS, longerMs)) / 60_000;
}

function settle(sweep: Sweep, job: Job, count: number): void {
  if (count <= 0) return;
  for (let i = 0; i < count; i += 1) countSegment(sweep.tallies, job, sweep.open[i]!);
  if (count === sweep.open.length) sweep.open.length = 0;
  else sweep.open.splice(0, count);
  sweep.base += count;
}

/** Settles everything: the stream has ended or broken off. */
export function settleAll(sweep: Sweep, job: Job): void {
  for (const segment of sweep.open) countSegment(sweep.tallies, job, segment);
  sweep.open.length = 0;
  sweep.base = 0;
  sweep.intervalMs = Number.NaN;
  sweep.evenFor = 0;
  allProofs(sweep).forEach(restartFeedProof);
}

/** A stretch without data (M4). */
export function sweepUnseen(sweep: Sweep, job: Job, fromDepth: number, toDepth: number): void {
  settleAll(sweep, job);
  if (!(toDepth > fromDepth)) return;
  for (const tool of job.tools) {
    const from = fromDepth - tool.offsetM;
    const to = toDepth - tool.offsetM;
    eachJoint(job, tool.index, from, to, (joint, a, b) => {
      const tally = sweep.tallies[joint.index]!;
      tallyUnseen(tally, a, b);
      tallyPass(tally, tool.index, a, b);
      tally.swept = true;
      tally.revision += 1;
    });
  }
}

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
function eachJoint(
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

function countSegment(tallies: readonly JointTally[], job: Job, segment: Segment): void {
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
  const { fromPressure, toPressure, fromRotation, toRotation, fromMs, toMs } = segment;
  tally.swept = true;
  tally.revision += 1;
  if (isPass(tally, recipe, segment, a, b)) {
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
function isPass(tally: JointTally, recipe: Recipe, segment: Segment, a: number, b: number): boolean {
  const pressure = Math.max(segment.fromPressure, segment.toPressure);
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
