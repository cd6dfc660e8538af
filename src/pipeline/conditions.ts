/**
 * The conditions that raise events, judged where they mean something: by the recipe at work, while somebody means to expand,
 * on ground that is not expanded yet or where the tool was rolling well until now. Delays and dead bands stand in
 * `src/events.ts`, the bounds in the plan.
 */
import type { Sample } from '../channels.ts';
import { EVENTS, type EventName } from '../events.ts';
import type { Joint, Recipe } from '../plan/job.ts';
import { converter } from '../units.ts';
import { depthTolerance } from './endDepth.ts';
import { isWatched, type Reading, watchCondition } from './eventLog.ts';
import { periodMs } from './period.ts';
import type { Run } from './run.ts';
import { advanceSteadiness, createSteadiness, restSteadiness, type Steadiness } from './stuckSensor.ts';

export interface Conditions {
  /** Bits of `BREACHES` that hold at this sample, delays apart. */
  breach: number;
  steadiness: { standpipePressure: Steadiness; hookload: Steadiness; torque: Steadiness };
}

export function createConditions(): Conditions {
  return {
    breach: 0,
    steadiness: {
      standpipePressure: createSteadiness(),
      hookload: createSteadiness(),
      torque: createSteadiness(),
    },
  };
}

export const BREACH_BITS = { pressure: 1, rotation: 2, feed: 4, torque: 8, noData: 16 } as const;
/** A proof of fast feed counts as lasting for this long, or for two frames. */
const PROOF_LASTS_MS = 3_000;

/** An advance is fresh for this long, or for as long as a slow feed takes to show in the readings. */
const FRESH_MS = 3_000;
const SLOW_FEED_M_PER_MIN = 0.4;

const OFF: Reading = {
  on: false,
  joint: null,
  depth: Number.NaN,
  fromMs: Number.NaN,
  value: Number.NaN,
  worseIs: 'low',
  toleranceM: 0,
};

/** A bound with the dead band of its event: once it is broken, the value must come back a little further. */
function isBelow(run: Run, kind: EventName, value: number, min: number): boolean {
  return value < (isWatched(run.events, kind) ? min * (1 + EVENTS[kind].deadBand) : min);
}

function isAbove(run: Run, kind: EventName, value: number, max: number): boolean {
  return value > (isWatched(run.events, kind) ? max * (1 - EVENTS[kind].deadBand) : max);
}

export function judgeConditions(run: Run, sample: Sample): void {
  const { job, work, slips, motion } = run;
  const joint = work.joint >= 0 && !slips.in ? job.joints[work.joint] : undefined;
  const down = joint !== undefined && motion.way === 'down';
  if (!down || work.rolling !== work.joint) work.rolling = -1;
  if (down && isRollingWell(joint, sample)) work.rolling = work.joint;
  const advancing = down && (work.newGround || work.rolling >= 0) && isAdvancingNow(run, sample.sourceMs);
  run.conditions.breach = 0;
  judgePressure(run, sample, joint, advancing);
  judgeRotation(run, sample, joint, advancing);
  judgeFeed(run, sample, joint, advancing);
  judgeTorque(run, sample, joint);
  judgeStall(run, sample, joint);
  judgeSensors(run, sample);
}

function isRollingWell(joint: Joint, sample: Sample): boolean {
  const recipe = joint.recipe!;
  return sample.standpipePressure >= recipe.pressureMinKpa && !(sample.rotation < recipe.rpmMin);
}

/** Whether the last advance that the readings show is as fresh as a slow feed and their resolution allow. */
function isAdvancingNow(run: Run, atMs: number): boolean {
  const freshMs = Math.max(
    FRESH_MS,
    2.2 * periodMs(run.period),
    (depthTolerance(run.endDepth) / SLOW_FEED_M_PER_MIN) * 60_000,
  );
  return atMs - run.motion.anchorMs <= freshMs;
}

function reading(
  run: Run,
  joint: Joint,
  sample: Sample,
  value: number,
  worseIs: 'low' | 'high',
  fromMs = sample.sourceMs,
): Reading {
  const toleranceM = depthTolerance(run.endDepth);
  return { on: true, joint: joint.name, depth: run.toolDepths[run.work.tool]!, fromMs, value, worseIs, toleranceM };
}

function judgePressure(run: Run, sample: Sample, joint: Joint | undefined, advancing: boolean): void {
  const pressure = sample.standpipePressure;
  const units = converter(run.job.units);
  const say = (value: number): string => `${units.out('pressure', value).toFixed(0)} ${units.label('pressure')}`;
  const recipe = joint?.recipe;
  const low = recipe !== undefined && advancing && isBelow(run, 'low pressure', pressure, recipe.pressureMinKpa);
  const high = recipe !== undefined && isAbove(run, 'high pressure', pressure, recipe.pressureMaxKpa);
  if (low || high) run.conditions.breach |= BREACH_BITS.pressure;
  watchCondition(
    run.events,
    'low pressure',
    sample.sourceMs,
    low ? reading(run, joint!, sample, pressure, 'low') : OFF,
    (worst) => `down to ${say(worst)}, at least ${say(recipe!.pressureMinKpa)} wanted`,
  );
  watchCondition(
    run.events,
    'high pressure',
    sample.sourceMs,
    high ? reading(run, joint!, sample, pressure, 'high') : OFF,
    (worst) => `up to ${say(worst)}, at most ${say(recipe!.pressureMaxKpa)} allowed`,
  );
}

function judgeRotation(run: Run, sample: Sample, joint: Joint | undefined, advancing: boolean): void {
  const recipe = joint?.recipe;
  const lost = recipe !== undefined && advancing && isBelow(run, 'rotation lost', sample.rotation, recipe.rpmMin);
  if (lost) run.conditions.breach |= BREACH_BITS.rotation;
  watchCondition(
    run.events,
    'rotation lost',
    sample.sourceMs,
    lost ? reading(run, joint!, sample, sample.rotation, 'low') : OFF,
    (worst) => `down to ${worst.toFixed(0)} rpm, at least ${recipe!.rpmMin.toFixed(0)} wanted`,
  );
}

/** Whether feed above the recipe's bound is proven up to about now. */
export function isFastNow(run: Run, recipe: Recipe, atMs: number): boolean {
  const provenMs = run.provenFastMs[recipe.kind === 'isolation' ? 0 : 1];
  return atMs - provenMs <= Math.max(PROOF_LASTS_MS, 2.2 * periodMs(run.period));
}

function judgeFeed(run: Run, sample: Sample, joint: Joint | undefined, advancing: boolean): void {
  const recipe = joint?.recipe;
  const expanding =
    recipe !== undefined &&
    advancing &&
    !(sample.standpipePressure < recipe.pressureMinKpa) &&
    !(sample.rotation < recipe.rpmMin);
  const fast = expanding && isFastNow(run, recipe, sample.sourceMs);
  if (fast) run.conditions.breach |= BREACH_BITS.feed;
  const units = converter(run.job.units);
  const say = (value: number): string => `${units.out('feed', value).toFixed(2)} ${units.label('feed')}`;
  const fromMs = recipe ? run.provenFastFromMs[recipe.kind === 'isolation' ? 0 : 1] : Number.NaN;
  watchCondition(
    run.events,
    'fast feed',
    sample.sourceMs,
    fast ? reading(run, joint!, sample, run.motion.feed, 'high', fromMs) : OFF,
    (worst) => `up to ${say(worst)}, at most ${say(recipe!.feedMaxMPerMin)} allowed`,
  );
}

function judgeTorque(run: Run, sample: Sample, joint: Joint | undefined): void {
  const recipe = joint?.recipe;
  const units = converter(run.job.units);
  const say = (value: number): string => `${units.out('torque', value).toFixed(1)} ${units.label('torque')}`;
  const high = recipe !== undefined && isAbove(run, 'high torque', sample.torque, recipe.torqueMaxKnm);
  if (high) run.conditions.breach |= BREACH_BITS.torque;
  watchCondition(
    run.events,
    'high torque',
    sample.sourceMs,
    high ? reading(run, joint!, sample, sample.torque, 'high') : OFF,
    (worst) => `up to ${say(worst)}, at most ${say(recipe!.torqueMaxKnm)} allowed`,
  );
}

function judgeStall(run: Run, sample: Sample, joint: Joint | undefined): void {
  const stalled = joint !== undefined && !Number.isNaN(run.stalledMs);
  const units = converter(run.job.units);
  const torque = sample.torque;
  watchCondition(
    run.events,
    'stall',
    sample.sourceMs,
    stalled ? reading(run, joint, sample, torque, 'high', run.stalledMs) : OFF,
    (worst) =>
      Number.isNaN(worst)
        ? 'rolling without getting deeper'
        : `rolling without getting deeper, torque up to ${units.out('torque', worst).toFixed(1)} ${units.label('torque')}`,
  );
}

/** Readings that should waver: only while pumps and rotation work the sensors. */
function judgeSensors(run: Run, sample: Sample): void {
  const { steadiness } = run.conditions;
  const working = !run.slips.in && sample.standpipePressure > 0.3 * lowestPressure(run);
  const leastMs = EVENTS['stuck sensor'].onDelayMs;
  const since: [string, number][] = [
    [
      'standpipe pressure',
      judgeOne(steadiness.standpipePressure, working, sample.sourceMs, sample.standpipePressure, leastMs),
    ],
    ['hookload', judgeOne(steadiness.hookload, working, sample.sourceMs, sample.hookload, leastMs)],
    ['torque', judgeOne(steadiness.torque, working && sample.rotation > 5, sample.sourceMs, sample.torque, leastMs)],
  ];
  let fromMs = Number.NaN;
  for (const [, one] of since) if (!Number.isNaN(one) && !(one >= fromMs)) fromMs = one;
  const { focusJoint, focusTool } = run.work;
  const stuck: Reading = Number.isNaN(fromMs)
    ? OFF
    : {
        on: true,
        joint: focusJoint >= 0 ? run.job.joints[focusJoint]!.name : null,
        depth: run.toolDepths[focusTool]!,
        fromMs,
        value: 0,
        worseIs: 'low',
        toleranceM: 0,
      };
  watchCondition(
    run.events,
    'stuck sensor',
    sample.sourceMs,
    stuck,
    () =>
      `${since
        .filter(([, one]) => !Number.isNaN(one))
        .map(([name]) => name)
        .join(', ')} repeats one reading`,
  );
}

function judgeOne(state: Steadiness, working: boolean, atMs: number, value: number, leastMs: number): number {
  if (working) return advanceSteadiness(state, atMs, value, leastMs);
  restSteadiness(state);
  return Number.NaN;
}

function lowestPressure(run: Run): number {
  const { isolation, screen } = run.job.recipes;
  const low = Math.min(
    screen && screen.pressureMinKpa > 0 ? screen.pressureMinKpa : Infinity,
    isolation && isolation.pressureMinKpa > 0 ? isolation.pressureMinKpa : Infinity,
  );
  return low === Infinity ? 0 : low;
}
