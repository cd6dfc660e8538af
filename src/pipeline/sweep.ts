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
import type { Job } from '../plan/job.ts';
import { countSegment, eachJoint, type Segment } from './countStretch.ts';
import {
  addSegment,
  createFeedProof,
  type FastStretch,
  type FeedProof,
  restartFeedProof,
  settledUpTo,
} from './feedProof.ts';
import { createJointTally, type JointTally, tallyPass, tallyUnseen } from './jointTally.ts';

export interface Sweep {
  proofs: [FeedProof, FeedProof];
  /** The same with turns in the place of minutes. */
  perTurnProofs: [FeedProof, FeedProof];
  /** When feed per turn was last proven too much for each recipe, and since when, ms; NaN for not at all. */
  perTurnMs: [number, number];
  perTurnFromMs: [number, number];
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
    perTurnMs: [Number.NaN, Number.NaN],
    perTurnFromMs: [Number.NaN, Number.NaN],
    open: [],
    base: 0,
    intervalMs: Number.NaN,
    evenFor: 0,
    tallies: job.joints.map(() => createJointTally(job.tools.length)),
  };
}

const settledByAll = ({ proofs, perTurnProofs }: Sweep): number =>
  Math.min(
    settledUpTo(proofs[0]),
    settledUpTo(proofs[1]),
    settledUpTo(perTurnProofs[0]),
    settledUpTo(perTurnProofs[1]),
  );

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
    const wasMuch = sweep.perTurnProofs[r]!.fast;
    addSegment(sweep.perTurnProofs[r]!, advanceM, turns, perTurn, tolerance, stretch, rpm * late);
    for (let n = Math.max(stretch.from, sweep.base); n < stretch.to; n += 1)
      sweep.open[n - sweep.base]!.tooMuchPerTurn |= 1 << r;
    if (stretch.to > stretch.from) {
      sweep.perTurnMs[r] = segment.toMs;
      if (!wasMuch) sweep.perTurnFromMs[r] = sweep.open[Math.max(0, stretch.from - sweep.base)]!.fromMs;
    }
    addSegment(proof, advanceM, minutes, recipe?.feedMaxMPerMin ?? Infinity, tolerance, stretch, late);
    if (stretch.to === stretch.from) continue;
    for (let n = Math.max(stretch.from, sweep.base); n < stretch.to; n += 1)
      sweep.open[n - sweep.base]!.tooFast |= 1 << r;
    fast |= 1 << r;
    if (!wasFast) fastFromMs[r] = sweep.open[Math.max(0, stretch.from - sweep.base)]!.fromMs;
  }
  const settled = Math.max(settledByAll(sweep), sweep.base + sweep.open.length - MOST_OPEN);
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
  sweep.proofs.forEach(restartFeedProof);
  sweep.perTurnProofs.forEach(restartFeedProof);
  sweep.perTurnMs[0] = sweep.perTurnMs[1] = Number.NaN;
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
