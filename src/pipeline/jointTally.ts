/** What has been done to one joint: exact interval sets on depth, and the running figures of the sweeps. */
import type { GapCause } from '../causes.ts';
import { addInterval, type IntervalSet, removeInterval } from '../intervals.ts';

/** Why a swept metre did not count; the order of `GAP_CAUSES` says which is named where several hold. */
export const SWEPT_CAUSES = [
  'low pressure',
  'no rotation',
  'fast feed',
  'high feed per turn',
] as const satisfies readonly GapCause[];
export type SweptCause = (typeof SWEPT_CAUSES)[number];

/** Lifted by more than this, and swept again: another pass, m. */
const PASS_LIFT_M = 1.0;

export interface JointTally {
  expanded: IntervalSet;
  /** Swept across a stretch without data. May overlap `expanded`; what is expanded wins. */
  unseen: IntervalSet;
  failed: Record<SweptCause, IntervalSet>;
  pressureMin: number;
  pressureMax: number;
  /** ∫ pressure d(depth), kPa·m, and the metres behind it. */
  pressureSum: number;
  sweptM: number;
  /** Forward metres and the minutes they took. */
  feedM: number;
  feedMinutes: number;
  /** Whether any tool of its recipe has been moved down through it. */
  swept: boolean;
  passes: number;
  /** Deepest sweep of the present pass, by tool. */
  deepest: number[];
  stalls: number;
  minutes: number;
  startedMs: number;
  finishedMs: number;
  /** Grows with every change. */
  revision: number;
}

export function createJointTally(tools: number): JointTally {
  return {
    expanded: [],
    unseen: [],
    failed: { 'low pressure': [], 'no rotation': [], 'fast feed': [], 'high feed per turn': [] },
    pressureMin: Number.NaN,
    pressureMax: Number.NaN,
    pressureSum: 0,
    sweptM: 0,
    feedM: 0,
    feedMinutes: 0,
    swept: false,
    passes: 0,
    deepest: new Array<number>(tools).fill(Number.NaN),
    stalls: 0,
    minutes: 0,
    startedMs: Number.NaN,
    finishedMs: Number.NaN,
    revision: 0,
  };
}

export function tallyExpanded(tally: JointTally, from: number, to: number): void {
  addInterval(tally.expanded, from, to);
}

/** The latest pass names the cause. A failed pass takes nothing from what is expanded: see the record. */
export function tallyFailed(tally: JointTally, cause: SweptCause, from: number, to: number): void {
  for (const other of SWEPT_CAUSES) if (other !== cause) removeInterval(tally.failed[other], from, to);
  addInterval(tally.failed[cause], from, to);
}

export function tallyUnseen(tally: JointTally, from: number, to: number): void {
  addInterval(tally.unseen, from, to);
}

/** Counts passes: a tool that sweeps again where it has been, having been lifted, starts another. */
export function tallyPass(tally: JointTally, tool: number, from: number, to: number): void {
  const deepest = tally.deepest[tool]!;
  if (Number.isNaN(deepest) || from < deepest - PASS_LIFT_M) {
    tally.passes += 1;
    tally.deepest[tool] = to;
  } else if (to > deepest) tally.deepest[tool] = to;
}

/** Figures of one forward stretch with data at both ends. Pressures are those at its ends, kPa (NaN: not read). */
export function tallyStretch(
  tally: JointTally,
  metres: number,
  minutes: number,
  pressureFrom: number,
  pressureTo: number,
): void {
  tally.feedM += metres;
  tally.feedMinutes += minutes;
  if (Number.isNaN(pressureFrom) || Number.isNaN(pressureTo)) return;
  const low = Math.min(pressureFrom, pressureTo);
  const high = Math.max(pressureFrom, pressureTo);
  if (!(tally.pressureMin <= low)) tally.pressureMin = low;
  if (!(tally.pressureMax >= high)) tally.pressureMax = high;
  tally.pressureSum += ((pressureFrom + pressureTo) / 2) * metres;
  tally.sweptM += metres;
}
