/**
 * How well an expanded length is known, and what the verdict could be within that.
 *
 * The expanded length is the joint's own length less what is not expanded. A joint that is rolled from end to end has no edge
 * inside it: its ends are those of the plan, and only whether the tool really passed them is a matter of depth. Each gap has an
 * edge at either end, and what is wrong by the same amount at both (reference, scale, stretch) goes out of its length.
 */
import type { GapCause, Verdict } from '../causes.ts';
import {
  COVERAGE_FACTOR,
  type DepthBudget,
  lengthSigma,
  rootSumSquare,
  untaggedDepth,
} from '../engineering/uncertainty.ts';
import type { Joint } from '../plan/job.ts';
import { type Acceptance, type JointOutcome, verdictOf } from '../record/verdict.ts';
import { ownSigmas, STRETCH_MODEL_SHARE } from './depthAtTool.ts';
import { depthTolerance } from './endDepthState.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';

/** An edge nearer to the joint's end than this is that end, m. */
const AT_END_M = 1e-6;
/** Where no feed has been measured, m/min (common practice). */
const USUAL_FEED_M_PER_MIN = 1.2;
/**
 * An edge of too fast a feed lies at a turning point of the sum that proves it, which the depth readings place no better than
 * their tolerance by so much: a feed that is a third over its bound gains a quarter of its metres.
 */
const FEED_EDGE = 3;

/** The 1σ parts of an edge that are its own, m, by the cause that begins or ends at it. */
function edgeSigmas(run: Run, own: readonly number[], frameM: number, cause: GapCause): number[] {
  const parts = [...own];
  if (cause === 'not reached') return parts;
  // The flip is placed on a straight line between two frames: an even spread over one.
  parts.push(frameM / Math.sqrt(12));
  if (cause === 'no data') parts.push(frameM);
  if (cause === 'fast feed' || cause === 'high feed per turn') parts.push(FEED_EDGE * depthTolerance(run.endDepth));
  return parts;
}

/** A stretch that is not expanded, whatever the causes, and those at its ends. */
interface OpenStretch {
  from: number;
  to: number;
  first: GapCause;
  last: GapCause;
}

function openStretches(outcome: JointOutcome): OpenStretch[] {
  const stretches: OpenStretch[] = [];
  for (const { from, to, cause } of outcome.gaps) {
    const before = stretches.at(-1);
    if (before && from <= before.to + AT_END_M) {
      before.to = Math.max(before.to, to);
      before.last = cause;
    } else stretches.push({ from, to, first: cause, last: cause });
  }
  return stretches;
}

/** 1σ of the length of each stretch that is not expanded, m, and of the two ends of the joint where it is. */
interface Parts {
  stretches: { lengthM: number; sigma: number }[];
  ends: number;
}

function partsOf(run: Run, joint: Joint, outcome: JointOutcome): Parts {
  const tally = run.sweep.tallies[joint.index]!;
  const own = ownSigmas(run);
  const feed = tally.feedMinutes > 0 ? tally.feedM / tally.feedMinutes : USUAL_FEED_M_PER_MIN;
  const frameM = (feed * periodMs(run.period)) / 60_000;
  // Where the readings were taken with other stretches, the model's error of the change is in the length.
  const stretch = STRETCH_MODEL_SHARE * run.depthAtTool.atWorkM;
  const budget = (depth: number, parts: number[]): DepthBudget => untaggedDepth(depth, depth, 'fixed', parts);
  let ends = 2;
  const stretches = openStretches(outcome).map(({ from, to, first, last }) => {
    const atTop = from <= joint.from + AT_END_M;
    const atBottom = to >= joint.to - AT_END_M;
    ends -= (atTop ? 1 : 0) + (atBottom ? 1 : 0);
    const a = budget(from, atTop ? [] : edgeSigmas(run, own, frameM, first));
    const b = budget(to, atBottom ? [] : edgeSigmas(run, own, frameM, last));
    return { lengthM: to - from, sigma: rootSumSquare(lengthSigma(a, b), stretch) };
  });
  return { stretches, ends: Math.sqrt(Math.max(0, ends)) * rootSumSquare(...own) };
}

/** 1σ of an expanded length, m; 0 where nothing is expanded. */
export function lengthSigmaM(run: Run, joint: Joint, outcome: JointOutcome): number {
  if (!(outcome.expandedM > 0)) return 0;
  const { stretches, ends } = partsOf(run, joint, outcome);
  return rootSumSquare(ends, ...stretches.map((one) => one.sigma));
}

/** Verdicts that the joint would have within 2σ of its expanded length or its longest gap, without the one that it has. */
export function couldBeOf(run: Run, joint: Joint, outcome: JointOutcome): Verdict[] {
  const { verdict } = outcome;
  if (verdict === 'not planned' || verdict === 'not reached') return [];
  const { stretches, ends } = partsOf(run, joint, outcome);
  const length = COVERAGE_FACTOR * rootSumSquare(ends, ...stretches.map((one) => one.sigma));
  const longest = stretches.reduce((a, b) => (b.lengthM > a.lengthM ? b : a), { lengthM: 0, sigma: ends });
  const gap = COVERAGE_FACTOR * longest.sigma;
  const { coverage, longestGapM } = run.job.acceptance;
  const share = length / joint.requiredM;
  const found = new Set<Verdict>();
  // A length that is 2σ more is accepted as if the bound lay 2σ lower, and so with the gap.
  for (const sign of [1, -1]) {
    const acceptance: Acceptance = {
      coverage: coverage - sign * share,
      longestGapM: longestGapM + sign * gap,
    };
    found.add(verdictOf(acceptance, joint, true, outcome.expanded, outcome.unproven, run.toolDepths));
  }
  found.delete(verdict);
  return [...found].sort();
}
