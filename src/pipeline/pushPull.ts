/**
 * Push and pull on a hanger that is set: the hookload goes outside the free up and down weights while the block moves no
 * more than the string above the hanger gives elastically.
 *
 * H1 Movement and force count from the last moment at rest inside the free weights. Residual = movement in the way of the
 *    force, less the elastic movement for that force; judged while the block stands, since the hookload lags a moving one.
 * H2 Friction holds part of the force back, so that the elastic movement is the most that there can be: a residual is never
 *    made by friction, but a small one may be hidden by it.
 * H3 Passed: both forces reached, no residual above the plan's. Failed at once with one above it.
 */
import type { Sample } from '../channels.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { StepNumber } from '../steps.ts';
import { measure } from './condition.ts';
import { depthTolerance } from './endDepthState.ts';
import { logEvent } from './eventLog.ts';
import { TURNS_ABOVE_RPM } from './freeWeight.ts';
import { complianceAtHanger, hangerDepthM } from './hungString.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';

/** The largest force of one way and what moved with it. */
interface Reach {
  /** Beyond the free weight, kN. */
  forceKn: number;
  movementM: number;
  expectedM: number;
}

export interface PushPull {
  /** Hookload and end depth at the last rest inside the free weights. */
  restKn: number;
  restDepth: number;
  complianceMPerKn: number;
  /** Depth and time since which the block stands, and the hookload meanwhile, averaged: its scatter is no force. */
  standDepth: number;
  standMs: number;
  standKn: number;
  /** Hookloads in a row far from it: one or two are spikes. */
  leaps: number;
  up: Reach;
  down: Reach;
  residualM: number;
  /** Samples in a row with a residual above the plan's. */
  moved: number;
  step: number;
  fromMs: number;
  /** When a force last grew, and when the hookload was last outside the free weights. */
  grewMs: number;
  outMs: number;
  seen: boolean;
  done: boolean;
  /** A hanger that moved: nothing more until the string is at rest inside the free weights again. */
  waits: boolean;
}

/** Share of a planned force beyond the free weight at which somebody pulls or pushes, and at which the force is reached. */
const BEGUN_SHARE = 0.3;
const REACHED_SHARE = 0.95;
/** The block stands when it has not moved for this long, ms. */
const STANDS_MS = 4_000;
/** Slower than this nobody pulls, m/min. */
const SLOW_M_PER_MIN = 0.3;
/** Residual that needs no standing block, m. */
const PLAIN_RESIDUAL_M = 0.5;
/** A string that moves further than this is on its way somewhere, m. */
const ON_ITS_WAY_M = 5;
const STAND_GAIN = 0.3;
const LEAP_SHARE = 0.15;
const MOST_LEAPS = 2;
const MOVED_SAMPLES = 3;
/** A force that does not grow for this long ends the phase; one way without the other for this long, the step, ms. */
const QUIET_MS = 60_000;
const UNFINISHED_MS = 1_800_000;
const GREW_KN = 2;

const noReach = (): Reach => ({ forceKn: 0, movementM: 0, expectedM: Number.NaN });

export function createPushPull(): PushPull {
  return {
    restKn: Number.NaN,
    restDepth: Number.NaN,
    complianceMPerKn: Number.NaN,
    standDepth: Number.NaN,
    standMs: Number.NaN,
    standKn: Number.NaN,
    leaps: 0,
    up: noReach(),
    down: noReach(),
    residualM: Number.NaN,
    moved: 0,
    step: -1,
    fromMs: Number.NaN,
    grewMs: Number.NaN,
    outMs: Number.NaN,
    seen: false,
    done: false,
    waits: false,
  };
}

/** Returns whether somebody pushes or pulls now. */
export function advancePushPull(run: Run, sample: Sample): boolean {
  const state = run.hanger.pushPull;
  const plan = run.job.engineering.hanger!.pull!;
  const read = sample.hookload;
  const atMs = sample.sourceMs;
  if (state.done || Number.isNaN(read) || run.slips.in || sample.rotation > TURNS_ABOVE_RPM) return false;
  const { upKn, downKn, restKn } = run.hanger.before;
  const high = Number.isNaN(upKn) ? restKn : upKn;
  const low = Number.isNaN(downKn) ? restKn : downKn;
  if (Number.isNaN(high) || Number.isNaN(low)) return false;
  const stands = isStanding(state, run, read, atMs);
  const load = state.standKn;
  if (load >= low && load <= high) {
    if (atMs - state.standMs >= restMs(run)) rest(state, run, load);
    return endIfUnfinished(run, atMs) || (state.step >= 0 && atMs - state.outMs <= QUIET_MS);
  }
  if (state.waits || Number.isNaN(state.restKn)) return false;
  const over = load - high;
  const under = low - load;
  const pulls = over > BEGUN_SHARE * plan.upKn;
  if (!pulls && !(under > BEGUN_SHARE * plan.downKn)) return endIfUnfinished(run, atMs);
  return work(run, pulls ? 'up' : 'down', pulls ? over : under, load, stands, atMs);
}

function isStanding(state: PushPull, run: Run, load: number, atMs: number): boolean {
  const { depth } = run.endDepth;
  const leapt = Math.abs(load - state.standKn) > LEAP_SHARE * state.standKn;
  state.leaps = leapt ? state.leaps + 1 : 0;
  const spike = leapt && state.leaps <= MOST_LEAPS;
  if (!(Math.abs(depth - state.standDepth) <= 1.5 * depthTolerance(run.endDepth))) {
    state.standDepth = depth;
    state.standMs = atMs;
    if (!spike) state.standKn = load;
  } else if (!spike) state.standKn = leapt ? load : state.standKn + STAND_GAIN * (load - state.standKn);
  return atMs - state.standMs >= STANDS_MS;
}

/** A depth that is read coarsely stands for a while between two readings of a string that moves slowly. */
const restMs = (run: Run): number =>
  Math.max(STANDS_MS, ((1.5 * depthTolerance(run.endDepth)) / SLOW_M_PER_MIN) * 60_000);

function rest(state: PushPull, run: Run, load: number): void {
  state.restKn = load;
  state.restDepth = run.endDepth.depth;
  state.waits = false;
  state.complianceMPerKn = Number.NaN;
}

function work(run: Run, way: 'up' | 'down', forceKn: number, load: number, stands: boolean, atMs: number): boolean {
  const state = run.hanger.pushPull;
  const plan = run.job.engineering.hanger!.pull!;
  if (Number.isNaN(state.complianceMPerKn)) state.complianceMPerKn = complianceAtHanger(run.job, run.endDepth.depth);
  const lowered = run.endDepth.depth - state.restDepth;
  const movementM = way === 'up' ? -lowered : lowered;
  if (Math.abs(movementM) > ON_ITS_WAY_M) {
    state.restKn = Number.NaN;
    return false;
  }
  state.outMs = atMs;
  const expectedM = state.complianceMPerKn * Math.abs(load - state.restKn);
  const residualM = movementM - expectedM;
  const reach = state[way];
  if (forceKn > reach.forceKn + GREW_KN) state.grewMs = atMs;
  if (!stands && !(residualM > plan.residualM + PLAIN_RESIDUAL_M)) return isAtIt(state, atMs);
  if (forceKn > reach.forceKn) {
    reach.forceKn = forceKn;
    reach.movementM = movementM;
    reach.expectedM = expectedM;
  }
  open(run, atMs);
  if (!(residualM <= state.residualM)) state.residualM = Math.max(0, residualM);
  state.moved = residualM > plan.residualM ? state.moved + 1 : 0;
  if (state.moved >= MOVED_SAMPLES) fail(run, way, atMs);
  else if (state.up.forceKn >= REACHED_SHARE * plan.upKn && state.down.forceKn >= REACHED_SHARE * plan.downKn)
    pass(run, atMs);
  else changeStep(run.steps, state.step, { numbers: numbersOf(state) });
  return isAtIt(state, atMs);
}

const isAtIt = (state: PushPull, atMs: number): boolean => atMs - state.grewMs <= QUIET_MS;

function open(run: Run, atMs: number): void {
  const state = run.hanger.pushPull;
  if (state.step >= 0) return;
  state.seen = true;
  state.fromMs = Number.isNaN(state.grewMs) ? atMs : state.grewMs;
  state.step = logStep(run.steps, 'push and pull', 'hanger', state.fromMs, null, 'open', 'underway');
}

function pass(run: Run, atMs: number): void {
  const state = run.hanger.pushPull;
  const known = !Number.isNaN(state.complianceMPerKn);
  const { residualM } = run.job.engineering.hanger!.pull!;
  const detail: MeasuredText = known
    ? [
        'up and down reached, residual ',
        measure('length', state.residualM, 2),
        ', at most ',
        measure('length', residualM, 2),
      ]
    : 'up and down reached; the plan has no string to work the stretch out';
  close(run, known ? 'passed' : 'not proven', detail, atMs);
  state.done = true;
}

function fail(run: Run, way: 'up' | 'down', atMs: number): void {
  const state = run.hanger.pushPull;
  const reach = state[way];
  const detail: MeasuredText = [
    `${way === 'up' ? 'pull' : 'push'} of `,
    measure('force', reach.forceKn, 0),
    ': moved ',
    measure('length', reach.movementM, 2),
    ', elastic ',
    measure('length', reach.expectedM, 2),
    ', residual ',
    measure('length', state.residualM, 2),
  ];
  logEvent(run.events, 'hanger moved', null, hangerDepthM(run.job), state.fromMs, atMs, detail);
  close(run, 'failed', detail, atMs);
  state.waits = true;
}

/** One way without the other, and nothing more for long. */
function endIfUnfinished(run: Run, atMs: number): boolean {
  const state = run.hanger.pushPull;
  if (state.step >= 0 && atMs - state.grewMs > UNFINISHED_MS) endPushPull(run, atMs);
  return false;
}

/** The next thing has begun: a step that is open can no longer be finished. */
export function endPushPull(run: Run, atMs: number): void {
  const { step, up, down } = run.hanger.pushPull;
  if (step < 0) return;
  const missing = up.forceKn > down.forceKn ? 'push' : 'pull';
  close(run, 'not proven', `the ${missing} did not reach its force`, atMs);
}

function close(run: Run, outcome: 'passed' | 'failed' | 'not proven', detail: MeasuredText, atMs: number): void {
  const state = run.hanger.pushPull;
  changeStep(run.steps, state.step, { toMs: atMs, outcome, detail, numbers: numbersOf(state) });
  state.step = -1;
  state.up = noReach();
  state.down = noReach();
  state.residualM = Number.NaN;
  state.moved = 0;
}

function numbersOf({ up, down, residualM }: PushPull): StepNumber[] {
  const numbers: StepNumber[] = [];
  for (const [word, reach] of [
    ['pull', up],
    ['push', down],
  ] as const) {
    if (reach.forceKn === 0) continue;
    numbers.push(
      stepNumber(word, 'force', reach.forceKn, 0),
      stepNumber(`${word} movement`, 'length', reach.movementM, 2),
    );
    if (!Number.isNaN(reach.expectedM)) numbers.push(stepNumber(`${word} elastic`, 'length', reach.expectedM, 2));
  }
  if (!Number.isNaN(residualM)) numbers.push(stepNumber('residual', 'length', residualM, 2));
  return numbers;
}
