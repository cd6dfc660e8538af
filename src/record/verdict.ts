/** What a joint's sweeps amount to: its sets made disjoint, its gaps with their causes, its verdict. */
import type { GapCause, Verdict } from '../causes.ts';
import { addInterval, clip, complement, type IntervalSet, longest, measure, subtract, union } from '../intervals.ts';
import { type JointTally, SWEPT_CAUSES } from '../pipeline/jointTally.ts';
import type { Job, Joint } from '../plan/job.ts';

/** Sums of binary fractions miss their decimal value by roundings: a bound missed by less is met. */
const ROUNDING = 1e-9;

export interface Gap {
  from: number;
  to: number;
  cause: GapCause;
}

export interface JointOutcome {
  expanded: IntervalSet;
  unproven: IntervalSet;
  gaps: Gap[];
  expandedM: number;
  unprovenM: number;
  coverage: number;
  longestGap: number;
  verdict: Verdict;
}

interface Share {
  coverage: number;
  longestGap: number;
}

export type Acceptance = Job['acceptance'];

function shareOf(joint: Joint, set: readonly number[]): Share {
  return {
    coverage: joint.requiredM > 0 ? Math.min(1, measure(set) / joint.requiredM) : 0,
    longestGap: longest(complement(set, joint.from, joint.to)),
  };
}

function isAccepted(acceptance: Acceptance, share: Share): boolean {
  return share.coverage >= acceptance.coverage - ROUNDING && share.longestGap <= acceptance.longestGapM + ROUNDING;
}

/** Every stretch that is not expanded, with its cause, top down. */
function gapsOf(joint: Joint, tally: JointTally, expanded: IntervalSet, unproven: IntervalSet): Gap[] {
  const gaps: Gap[] = [];
  const take = (set: IntervalSet, cause: GapCause): void => {
    for (let i = 0; i < set.length; i += 2) gaps.push({ from: set[i]!, to: set[i + 1]!, cause });
  };
  take(unproven, 'no data');
  let known = union(expanded, unproven);
  for (const cause of SWEPT_CAUSES) {
    const failed = subtract(clip(tally.failed[cause], joint.from, joint.to), known);
    take(failed, cause);
    known = union(known, failed);
  }
  take(complement(known, joint.from, joint.to), 'not reached');
  return gaps.sort((a, b) => a.from - b.from);
}

/**
 * @param toolDepths where the tools are now, m: a joint with one of its tools inside may still be in progress.
 */
export function outcomeOf(job: Job, joint: Joint, tally: JointTally, toolDepths: readonly number[]): JointOutcome {
  const expanded = clip(tally.expanded, joint.from, joint.to);
  const unproven = subtract(clip(tally.unseen, joint.from, joint.to), expanded);
  const share = shareOf(joint, expanded);
  return {
    expanded,
    unproven,
    gaps: gapsOf(joint, tally, expanded, unproven),
    expandedM: measure(expanded),
    unprovenM: measure(unproven),
    coverage: share.coverage,
    longestGap: share.longestGap,
    verdict: verdictOf(job.acceptance, joint, tally.swept, expanded, unproven, toolDepths),
  };
}

/** The verdict on a joint of which `expanded` is expanded and `unproven` was swept unseen, by an acceptance. */
export function verdictOf(
  acceptance: Acceptance,
  joint: Joint,
  swept: boolean,
  expanded: IntervalSet,
  unproven: IntervalSet,
  toolDepths: readonly number[],
): Verdict {
  if (!joint.recipe || joint.requiredM === 0) return 'not planned';
  if (!swept) return 'not reached';
  if (isAccepted(acceptance, shareOf(joint, expanded))) return 'expanded';
  for (const tool of joint.recipe.tools) {
    const depth = toolDepths[tool]!;
    if (!(depth >= joint.from && depth < joint.to)) continue;
    const hoped = expanded.slice();
    addInterval(hoped, depth, joint.to);
    if (isAccepted(acceptance, shareOf(joint, hoped))) return 'in progress';
  }
  return isAccepted(acceptance, shareOf(joint, union(expanded, unproven))) ? 'unproven' : 'short';
}
