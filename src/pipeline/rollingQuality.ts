/**
 * How well a tool rolls: feed per turn, dwell at one depth, pressure inside a threaded connection's keep-out, overlap after
 * a stand connection or a stall.
 */
import type { Sample } from '../channels.ts';
import type { Job, Joint, Recipe } from '../plan/job.ts';
import { depthTolerance } from './endDepthState.ts';
import { logEvent } from './eventLog.ts';
import { judgedKpa } from './judgedPressure.ts';
import { depthAgo, feedWindowMs } from './motion.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { jointAt } from './work.ts';

/** Rolling at one depth. */
export interface Dwell {
  joint: number;
  depth: number;
  /** Since when, ms; NaN while it does not. */
  fromMs: number;
  /** Since when it has not been rolling, ms. */
  offMs: number;
}

/** A tool under pressure inside a keep-out. */
export interface AtConnection {
  /** Index of the tool, -1 for none, and the joint whose keep-out it came into. */
  tool: number;
  joint: number;
  depth: number;
  sinceMs: number;
  /** It has moved under pressure, or the pressure has stayed: no pumps on their way up. */
  proven: boolean;
  /** Pressure as it is judged for that tool, kPa. */
  kpa: number;
}

/** Where the last good sweep of the joint at work ended. */
export interface Overlap {
  joint: number;
  tool: number;
  endedAt: number;
  /** The deepest since it last went on, m: a lift is one from there. */
  deepest: number;
  /** Since when it has been broken off by slips, a stall or a lift, ms; NaN while it goes on. */
  brokenMs: number;
}

export interface RollingQuality {
  /** Rotation, smoothed, rpm. */
  rotation: number;
  dwell: Dwell;
  /** Whether the pressure-shifted valve gives the pressure to the high path. */
  highPath: boolean;
  atConnection: AtConnection;
  overlap: Overlap;
}

/** Depths this near to one another, beyond what the readings can tell apart, are one depth, m. */
const ONE_DEPTH_M = 0.05;
/** Letting off ends a dwell once it has lasted so long, ms. */
const LET_OFF_MS = 5_000;
/** A sweep starts and ends a little outside the part to be expanded: no nearer to the thread than half the keep-out, m. */
const LEAD_M = 0.3;
/** Still under pressure in a keep-out for so long: it is no ramp of the pumps, ms. */
const STAYS_MS = 30_000;
const MOVES_M = 0.05;
/** Bled off, the valve falls back, L/min. */
const BLED_L_PER_MIN = 60;
/** Of the isolation recipe's minimum: above it the pressure is that of its tools, where the plan has no flow path. */
const ISOLATION_SHARE = 0.9;
/** Lifted further than this off the deepest sweep, the sweep is broken off, m. */
const LIFT_M = 0.3;
/** A feed above the recipe's bound by this share is no good sweep. */
const GOOD_FEED = 1.1;
/** The feed shown is that of the last seconds: a good sweep began about this share of its window before it shows. */
const FEED_LAG_SHARE = 0.85;
/** This near to the end of the part, the joint is done: nothing need be swept again, m. */
const DONE_M = 0.05;
const ROTATION_GAIN = 0.3;

export function createRollingQuality(_job: Job): RollingQuality {
  return {
    rotation: Number.NaN,
    dwell: { joint: -1, depth: Number.NaN, fromMs: Number.NaN, offMs: Number.NaN },
    highPath: false,
    atConnection: { tool: -1, joint: -1, depth: Number.NaN, sinceMs: Number.NaN, proven: false, kpa: Number.NaN },
    overlap: { joint: -1, tool: -1, endedAt: Number.NaN, deepest: Number.NaN, brokenMs: Number.NaN },
  };
}

export function advanceRollingQuality(run: Run, sample: Sample): void {
  const { rollingQuality: state, job } = run;
  const { limits } = job.engineering;
  const { rotation } = sample;
  if (Number.isNaN(state.rotation)) state.rotation = rotation;
  else if (!Number.isNaN(rotation)) state.rotation += ROTATION_GAIN * (rotation - state.rotation);
  if (limits.dwellMs < Infinity) followDwell(run, sample);
  if (limits.connectionPressureMaxKpa < Infinity) followConnection(run, sample, limits.connectionPressureMaxKpa);
  if (limits.overlapMinM > 0) followOverlap(run, sample, limits.overlapMinM);
}

/** Feed per turn now, m a revolution, over the last seconds; 0 while it does not get deeper, NaN where it does not turn. */
export function feedPerTurnOf(run: Run): number {
  const { rotation } = run.rollingQuality;
  if (!(rotation > 1) || run.slips.in) return Number.NaN;
  return Math.max(0, run.motion.feed) / rotation;
}

/** Whether the recipe's pressure and rotation hold. Readings that are missing for a moment are taken to be as they were. */
function isRolling(recipe: Recipe, run: Run, { rotation }: Sample): boolean {
  return !(judgedKpa(recipe, run.pressures) < recipe.pressureMinKpa) && !(rotation < Math.max(1, recipe.rpmMin));
}

function followDwell(run: Run, sample: Sample): void {
  const { dwell } = run.rollingQuality;
  const { work, slips, job } = run;
  const recipe = work.joint >= 0 && !slips.in ? job.joints[work.joint]!.recipe : undefined;
  const atMs = sample.sourceMs;
  if (!recipe || !isRolling(recipe, run, sample)) {
    if (Number.isNaN(dwell.offMs)) dwell.offMs = atMs;
    if (slips.in || atMs - dwell.offMs >= LET_OFF_MS) dwell.fromMs = Number.NaN;
    return;
  }
  dwell.offMs = Number.NaN;
  const depth = run.toolDepths[work.tool]!;
  const near = Math.abs(depth - dwell.depth) <= depthTolerance(run.endDepth) + ONE_DEPTH_M;
  if (near && dwell.joint === work.joint && !Number.isNaN(dwell.fromMs)) return;
  dwell.joint = work.joint;
  dwell.depth = depth;
  dwell.fromMs = atMs;
}

/** Since when the tool has dwelt longer than the plan allows, ms; NaN where it has not. */
export function longDwellMs(run: Run): number {
  const { fromMs } = run.rollingQuality.dwell;
  return run.lastMs - fromMs >= run.job.engineering.limits.dwellMs ? fromMs : Number.NaN;
}

/** The recipe whose tools the open path gives the pressure to. */
function pressedRecipe(run: Run, sample: Sample): Recipe | undefined {
  const { recipes, engineering } = run.job;
  const { isolation, screen } = recipes;
  if (!isolation || !screen) return isolation ?? screen;
  const state = run.rollingQuality;
  const { flowPath } = engineering;
  if (flowPath && !Number.isNaN(sample.flowIn)) {
    if (sample.flowIn >= flowPath.shiftsAtLPerMin) state.highPath = true;
    else if (sample.flowIn < BLED_L_PER_MIN) state.highPath = false;
  } else state.highPath = judgedKpa(isolation, run.pressures) >= ISOLATION_SHARE * isolation.pressureMinKpa;
  return state.highPath ? isolation : screen;
}

/** Whether a depth lies in the joint's keep-out, no less than the lead of a sweep away from the part to be expanded. */
function isInKeepOut(joint: Joint, depth: number): boolean {
  if (joint.requiredM === 0) return false;
  if (depth < joint.from) return joint.from - depth > Math.min(LEAD_M, (joint.from - joint.top) / 2);
  return depth >= joint.to && depth - joint.to > Math.min(LEAD_M, (joint.bottom - joint.to) / 2);
}

function followConnection(run: Run, sample: Sample, maxKpa: number): void {
  const { atConnection: at } = run.rollingQuality;
  const recipe = pressedRecipe(run, sample);
  const kpa = recipe ? judgedKpa(recipe, run.pressures) : Number.NaN;
  if (Number.isNaN(kpa) && at.tool >= 0) return;
  let tool = -1;
  if (recipe && kpa > maxKpa && !run.slips.in) {
    for (const one of recipe.tools) {
      const index = jointAt(run.job, run.toolDepths[one]!);
      if (index < 0 || !isInKeepOut(run.job.joints[index]!, run.toolDepths[one]!)) continue;
      tool = one;
      if (at.tool === one) break;
      at.joint = index;
      at.depth = run.toolDepths[one]!;
      at.sinceMs = sample.sourceMs;
      at.proven = false;
      break;
    }
  }
  at.tool = tool;
  at.kpa = kpa;
  if (tool < 0) return;
  const moved = Math.abs(run.toolDepths[tool]! - at.depth) > MOVES_M + depthTolerance(run.endDepth);
  if (moved || sample.sourceMs - at.sinceMs >= STAYS_MS) at.proven = true;
}

function followOverlap(run: Run, sample: Sample, minM: number): void {
  const { overlap } = run.rollingQuality;
  const { work, slips, job, motion } = run;
  const atMs = sample.sourceMs;
  if (overlap.joint >= 0 && Number.isNaN(overlap.brokenMs)) {
    const lifted = run.toolDepths[overlap.tool]! < overlap.deepest - LIFT_M - depthTolerance(run.endDepth);
    if (slips.in || lifted || !Number.isNaN(run.stalledMs)) overlap.brokenMs = atMs;
  }
  if (work.joint < 0 || slips.in || motion.way !== 'down' || !Number.isNaN(run.stalledMs)) return;
  const joint = job.joints[work.joint]!;
  const recipe = joint.recipe!;
  if (!isRolling(recipe, run, sample) || motion.feed > GOOD_FEED * recipe.feedMaxMPerMin) return;
  const depth = run.toolDepths[work.tool]!;
  if (overlap.joint !== work.joint || overlap.tool !== work.tool) {
    overlap.joint = work.joint;
    overlap.tool = work.tool;
    overlap.endedAt = overlap.deepest = depth;
  } else if (!Number.isNaN(overlap.brokenMs)) {
    judgeOverlap(run, joint, depth, minM);
    overlap.deepest = depth;
  }
  overlap.endedAt = Math.max(overlap.endedAt, depth);
  overlap.deepest = Math.max(overlap.deepest, depth);
  overlap.brokenMs = Number.NaN;
}

/** The sweep goes on after a break: it must have begun above where it ended. */
function judgeOverlap(run: Run, joint: Joint, depth: number, minM: number): void {
  const { endedAt, brokenMs, tool } = run.rollingQuality.overlap;
  if (endedAt >= joint.to - DONE_M) return;
  const offset = run.job.tools[tool]!.offsetM;
  const tolerance = depthTolerance(run.endDepth);
  const lagMs = FEED_LAG_SHARE * feedWindowMs(tolerance, periodMs(run.period));
  const before = depthAgo(run.motion, run.lastMs, lagMs) - offset;
  const start = Math.max(joint.from, Math.min(depth, Number.isNaN(before) ? depth : before));
  // At the start of the part there is less above to sweep again.
  const wanted = Math.min(minM, endedAt - joint.from);
  if (endedAt - start >= wanted - 2 * tolerance) return;
  logEvent(run.events, 'short overlap', joint.name, start, brokenMs, run.lastMs, [
    'swept to ',
    { quantity: 'length', value: endedAt, decimals: 2 },
    ', then from ',
    { quantity: 'length', value: start, decimals: 2 },
    ': at least ',
    { quantity: 'length', value: minM, decimals: 2 },
    ' again wanted',
  ]);
}
