/**
 * The release of the running tool: turned free at neutral weight, and proven by what the string weighs when it is picked up.
 *
 * R1 Up-weight before: measured on this run with the liner on the string. Up-weight after: of a free movement after the tests.
 *    Lighter by the liner: passed. Not lighter after the tool was turned, or held fast with a pull beyond the weight before
 *    and no more movement than elastic: failed. Anything else, or no liner weight in the plan: not proven, with the numbers.
 * R2 The shares of the liner's weight at which it counts as gone and as still there are common practice.
 */
import type { Sample } from '../channels.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { StepNumber, StepOutcome } from '../steps.ts';
import { measure } from './condition.ts';
import { logEvent } from './eventLog.ts';
import { advanceFreeWeight, createFreeWeight, type FreeWeight, TURNS_ABOVE_RPM } from './freeWeight.ts';
import { complianceAtHanger, hangerDepthM } from './hungString.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';

export interface ReleaseSense {
  after: FreeWeight;
  /** Turning at neutral weight: since when, at which depth, for how long in all. */
  turnMs: number;
  turnDepth: number;
  turnKn: number;
  turnedMs: number;
  lastTurnMs: number;
  /** Since when the string is held fast under a pull beyond its weight before. */
  heldMs: number;
  heldKn: number;
  step: number;
  fromMs: number;
  done: boolean;
}

/** Of the liner's weight: gone, and still there. */
const GONE_SHARE = 0.7;
const STILL_THERE_SHARE = 0.3;
/** More than the liner is something else. */
const TOO_MUCH_SHARE = 1.5;
/** Neutral weight: the string without the liner, to within this share of the liner's weight. */
const NEUTRAL_SHARE = 0.6;
const TURNED_MS = 5_000;
/** The string does not move while the tool is turned, m. */
const TURNS_WITHIN_M = 0.3;
const PUMPS_OFF_L_PER_MIN = 60;
/** Readings of the free movement before it is judged. */
const ENOUGH_LOADS = 8;
/** Held fast: this much beyond the up-weight before, for this long, moving this little beyond the elastic. */
const HELD_OVER_KN = 15;
const HELD_MS = 5_000;
const HELD_WITHIN_M = 0.3;
/** What belongs to the release after the last turn, ms. */
const AFTER_TURNING_MS = 120_000;

export function createReleaseSense(): ReleaseSense {
  return {
    after: createFreeWeight(),
    turnMs: Number.NaN,
    turnDepth: Number.NaN,
    turnKn: Number.NaN,
    turnedMs: 0,
    lastTurnMs: Number.NaN,
    heldMs: Number.NaN,
    heldKn: Number.NaN,
    step: -1,
    fromMs: Number.NaN,
    done: false,
  };
}

/** To be called once the hanger's tests have been seen. Returns whether the tool is being released now. */
export function advanceReleaseSense(run: Run, sample: Sample, flow: number): boolean {
  const state = run.hanger.release;
  if (state.done) return false;
  const turning = turn(run, state, sample, flow);
  advanceFreeWeight(state.after, run, sample);
  if (!turning && state.step >= 0) watchHeld(run, sample);
  if (state.after.way === 'up' && state.after.loads.length >= ENOUGH_LOADS) judge(run, sample.sourceMs);
  if (state.done || state.step < 0) return false;
  return turning || sample.sourceMs - state.lastTurnMs < AFTER_TURNING_MS;
}

function turn(run: Run, state: ReleaseSense, sample: Sample, flow: number): boolean {
  const atMs = sample.sourceMs;
  const { depth } = run.endDepth;
  const turns = sample.rotation > TURNS_ABOVE_RPM && !run.slips.in && !(flow > PUMPS_OFF_L_PER_MIN);
  if (!turns || !isNeutral(run, sample.hookload)) {
    state.turnMs = Number.NaN;
    return false;
  }
  if (Number.isNaN(state.turnMs) || Math.abs(depth - state.turnDepth) > TURNS_WITHIN_M) {
    state.turnMs = state.lastTurnMs = atMs;
    state.turnDepth = depth;
  }
  state.turnedMs += atMs - state.lastTurnMs;
  state.lastTurnMs = atMs;
  state.turnKn = sample.hookload;
  if (state.turnedMs >= TURNED_MS && state.step < 0) open(run, state.turnMs);
  return state.step >= 0;
}

function isNeutral(run: Run, load: number): boolean {
  const { linerWeightKn } = run.job.engineering.hanger!;
  const { restKn } = run.hanger.before;
  if (linerWeightKn === undefined || Number.isNaN(restKn)) return !Number.isNaN(load);
  return Math.abs(load - (restKn - linerWeightKn)) <= NEUTRAL_SHARE * linerWeightKn;
}

function open(run: Run, fromMs: number): void {
  const state = run.hanger.release;
  state.after = createFreeWeight();
  state.fromMs = fromMs;
  state.step = logStep(run.steps, 'release', 'running tool', fromMs, null, 'open', 'turned at neutral weight');
}

/** R1: held fast. */
function watchHeld(run: Run, sample: Sample): void {
  const state = run.hanger.release;
  const load = sample.hookload;
  const { upKn } = run.hanger.before;
  const movedM = state.turnDepth - run.endDepth.depth;
  const elasticM = complianceAtHanger(run.job, run.endDepth.depth) * (load - state.turnKn);
  if (!(load > upKn + HELD_OVER_KN && movedM - elasticM < HELD_WITHIN_M) || run.slips.in) {
    state.heldMs = Number.NaN;
    return;
  }
  if (Number.isNaN(state.heldMs)) state.heldMs = sample.sourceMs;
  state.heldKn = load;
  if (sample.sourceMs - state.heldMs < HELD_MS) return;
  const detail: MeasuredText = [
    'still held: ',
    measure('force', load, 0),
    ' on the hook, ',
    measure('force', upKn, 0),
    ' up before, and no movement beyond the elastic',
  ];
  end(run, 'failed', detail, sample.sourceMs, [stepNumber('hookload held', 'force', load, 0)]);
}

function judge(run: Run, atMs: number): void {
  const { before, release } = run.hanger;
  const { linerWeightKn } = run.job.engineering.hanger!;
  const turned = release.step >= 0;
  const change = before.upKn - release.after.upKn;
  if (Number.isNaN(change) || linerWeightKn === undefined) {
    if (!turned) return;
    const why = Number.isNaN(change)
      ? 'the up-weight before was not measured'
      : "the plan does not give the liner's weight";
    end(run, 'not proven', why, atMs);
    release.done = true;
    return;
  }
  const share = change / linerWeightKn;
  const detail: MeasuredText = [
    'up-weight changed by ',
    measure('force', change, 0),
    ', the liner weighs ',
    measure('force', linerWeightKn, 0),
  ];
  if (share >= GONE_SHARE) {
    if (!turned) open(run, atMs);
    end(run, share <= TOO_MUCH_SHARE ? 'passed' : 'not proven', detail, atMs);
    release.done = true;
  } else if (turned) end(run, share <= STILL_THERE_SHARE ? 'failed' : 'not proven', detail, atMs);
}

function end(run: Run, outcome: StepOutcome, detail: MeasuredText, atMs: number, more: StepNumber[] = []): void {
  const state = run.hanger.release;
  changeStep(run.steps, state.step, { toMs: atMs, outcome, detail, numbers: [...numbersOf(run), ...more] });
  if (outcome === 'failed') {
    const words = typeof detail === 'string' ? [detail] : detail;
    const from = state.fromMs;
    logEvent(run.events, 'test not passed', null, hangerDepthM(run.job), from, atMs, ['release: ', ...words]);
  }
  state.step = -1;
  state.turnedMs = 0;
  state.turnMs = state.heldMs = Number.NaN;
  state.after = createFreeWeight();
}

/** The expansion has begun: what is still open cannot be proven any more. */
export function endRelease(run: Run, atMs: number): void {
  if (run.hanger.release.step >= 0)
    end(run, 'not proven', 'the string was not picked up freely after it was turned', atMs);
  run.hanger.release.done = true;
}

function numbersOf(run: Run): StepNumber[] {
  const { before, release } = run.hanger;
  const numbers: StepNumber[] = [];
  if (!Number.isNaN(before.upKn)) numbers.push(stepNumber('up-weight before', 'force', before.upKn, 0));
  if (!Number.isNaN(release.after.upKn)) numbers.push(stepNumber('up-weight after', 'force', release.after.upKn, 0));
  const change = before.upKn - release.after.upKn;
  if (!Number.isNaN(change)) numbers.push(stepNumber('change', 'force', change, 0));
  const { linerWeightKn } = run.job.engineering.hanger!;
  if (linerWeightKn !== undefined) numbers.push(stepNumber("liner's weight", 'force', linerWeightKn, 0));
  return numbers;
}
