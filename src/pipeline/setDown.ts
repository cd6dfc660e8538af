/**
 * Weights and torque of the free string, measured on this run clear of any joint at work, out of slips, while the hookload is
 * steady: turning, hanging still, going up and going down. What the hookload lacks of them rests on the tool.
 *
 * W1 Set-down is the free turning weight less the hookload; a string that has not turned yet is judged by how it hangs.
 * W2 Net of drag: a string that goes down or up without turning is held against its own free weight that way.
 * W3 A weight goes with the depth by the buoyed weight of a metre where the plan has string and fluid; without them it is
 *    learnt again once the string is a stand and a half from where it was measured.
 * W4 One odd stretch teaches nothing; a difference that lasts, in the time of the readings themselves, is a new weight.
 */
import type { Sample } from '../channels.ts';
import { buoyedWeightKn } from '../engineering/buoyancy.ts';
import type { Job } from '../plan/job.ts';
import type { Way } from './motion.ts';
import type { Run } from './runState.ts';

export const FREE_WEIGHTS = ['turning', 'hanging', 'up', 'upTurning', 'down'] as const;
export type FreeWeightName = (typeof FREE_WEIGHTS)[number];

export interface FreeWeight {
  /** kN, at `depth` of the end of the string, m; NaN until measured. */
  kn: number;
  depth: number;
  samples: number;
  /** For how long readings have disagreed, one after the other, ms; when the last one was taken. */
  oddMs: number;
  atMs: number;
}

export interface StringWeight {
  weights: Record<FreeWeightName, FreeWeight>;
  /** Torque of free rotation, kN·m, by band of rotation, and the readings behind each. */
  torques: number[];
  torqueSamples: number[];
  /** Of the last sample: end depth, m, and which way the string went. */
  depth: number;
  way: Way;
  /** Buoyed weight of one metre more, kN; NaN: not known. Worked out at `knPerMDepth`. */
  knPerM: number;
  knPerMDepth: number;
  /** Hookload, smoothed over a few readings and over many, kN. */
  quick: number;
  slow: number;
  /** Since when the two have agreed, out of slips, ms. */
  steadyMs: number;
  /** Since when a string that neither turns nor is pumped through has been too light, ms: it may be going into the slips. */
  idleLightMs: number;
}

/** Readings before a weight counts as measured. */
const ENOUGH_SAMPLES = 5;
const MEMORY = 40;
const TURNING_RPM = 5;
/** Hookload smoothed quickly and slowly, and the share by which the two may differ while it is steady. */
const QUICK_GAIN = 0.25;
const SLOW_GAIN = 0.07;
const STEADY_SHARE = 0.02;
const STEADY_MS = 5_000;
/** Feed at which the weight up or down is that of a moving string, m/min. */
const MOVING_M_PER_MIN = 0.4;
/** One reading moves a weight by no more than this share; beyond the other it is odd. */
const CLIP_SHARE = 0.01;
const ODD_SHARE = 0.03;
/** Readings further apart belong to two movements, and the time between them shows nothing, ms. */
const ONE_MOVEMENT_MS = 10_000;
/** Odd for this long, it is a new weight, ms. A string that stands may well stand on something. */
const NEW_AFTER_MS: Record<FreeWeightName, number> = {
  turning: 60_000,
  hanging: 600_000,
  up: 120_000,
  upTurning: 120_000,
  down: 120_000,
};
/** Without a weight a metre, a weight holds this far, m: a stand and a half. */
const HOLDS_M = 40;
/** The weight a metre is worked out anew after this much depth, m. */
const SECTION_M = 10;
/** Rotation is told apart by bands of this width, rpm. */
const TORQUE_BAND_RPM = 10;
const TORQUE_BANDS = 30;
/** Pumps on, L/min and kPa: no string that hangs in the slips is pumped through. */
const PUMPED_L_PER_MIN = 60;
const PUMPED_KPA = 1500;

const freeWeight = (): FreeWeight => ({ kn: Number.NaN, depth: Number.NaN, samples: 0, oddMs: 0, atMs: Number.NaN });

export function createStringWeight(): StringWeight {
  return {
    weights: {
      turning: freeWeight(),
      hanging: freeWeight(),
      up: freeWeight(),
      upTurning: freeWeight(),
      down: freeWeight(),
    },
    torques: new Array<number>(TORQUE_BANDS).fill(Number.NaN),
    torqueSamples: new Array<number>(TORQUE_BANDS).fill(0),
    depth: Number.NaN,
    way: 'still',
    knPerM: Number.NaN,
    knPerMDepth: Number.NaN,
    quick: Number.NaN,
    slow: Number.NaN,
    steadyMs: Number.NaN,
    idleLightMs: Number.NaN,
  };
}

/** Works one sample in; to be called once its depth, work and movement are known. */
export function learnStringWeight(state: StringWeight, run: Run, sample: Sample): void {
  state.depth = run.endDepth.depth;
  state.way = run.motion.way;
  if (run.slips.in || Number.isNaN(sample.hookload)) {
    if (run.slips.in) forgetSteady(state);
    return;
  }
  followHookload(state, sample);
  watchIdle(state, sample, run.job.engineering.limits.setDownMaxKn);
  if (run.work.joint >= 0) return;
  learnTorque(state, sample);
  if (!(sample.sourceMs - state.steadyMs >= STEADY_MS)) return;
  const name = freeWeightNow(run, sample);
  if (!name) return;
  weighMetre(state, run.job);
  learnWeight(state, name, sample.sourceMs);
}

function forgetSteady(state: StringWeight): void {
  state.quick = Number.NaN;
  state.slow = Number.NaN;
  state.steadyMs = Number.NaN;
  state.idleLightMs = Number.NaN;
}

function followHookload(state: StringWeight, { hookload, sourceMs }: Sample): void {
  if (Number.isNaN(state.quick)) {
    state.quick = state.slow = hookload;
    state.steadyMs = Number.NaN;
    return;
  }
  state.quick += QUICK_GAIN * (hookload - state.quick);
  state.slow += SLOW_GAIN * (hookload - state.slow);
  if (Math.abs(state.quick - state.slow) > STEADY_SHARE * state.slow) state.steadyMs = Number.NaN;
  else if (Number.isNaN(state.steadyMs)) state.steadyMs = sourceMs;
}

export const isPumped = (sample: Sample): boolean =>
  Number.isNaN(sample.flowIn) ? sample.standpipePressure > PUMPED_KPA : sample.flowIn > PUMPED_L_PER_MIN;

function watchIdle(state: StringWeight, sample: Sample, maxKn: number): void {
  const idle = !isPumped(sample) && !(sample.rotation > TURNING_RPM);
  if (!idle || !(netSetDownOf(state, sample) > maxKn)) state.idleLightMs = Number.NaN;
  else if (Number.isNaN(state.idleLightMs)) state.idleLightMs = sample.sourceMs;
}

function freeWeightNow(run: Run, { rotation }: Sample): FreeWeightName | undefined {
  const { way, feed } = run.motion;
  const moving = Math.abs(feed) >= MOVING_M_PER_MIN;
  if (rotation > TURNING_RPM) {
    if (way !== 'up') return 'turning';
    return moving ? 'upTurning' : undefined;
  }
  if (way === 'still') return 'hanging';
  return moving ? way : undefined;
}

/** Weight that one metre more of the topmost pipe hangs on the hook: the string's own weight moves with its end. */
function weighMetre(state: StringWeight, job: Job): void {
  if (Math.abs(state.depth - state.knPerMDepth) < SECTION_M) return;
  state.knPerMDepth = state.depth;
  const { string, fluid, survey } = job.engineering;
  state.knPerM = Number.NaN;
  if (string.length === 0 || !fluid) return;
  let inclination = 0;
  for (const station of survey) if (station.mdM <= state.depth) inclination = station.inclinationDeg;
  state.knPerM =
    buoyedWeightKn(string[0]!.massKgPerM, 1, fluid.densityKgPerM3) * Math.cos((inclination * Math.PI) / 180);
}

function learnWeight(state: StringWeight, name: FreeWeightName, atMs: number): void {
  const weight = state.weights[name];
  const hookload = state.quick;
  const expected = carried(state, weight);
  if (Number.isNaN(expected)) {
    weight.samples = 1;
    weight.kn = hookload;
  } else {
    const off = hookload - expected;
    const odd = weight.samples >= ENOUGH_SAMPLES && Math.abs(off) > ODD_SHARE * expected;
    const since = atMs - weight.atMs;
    weight.atMs = atMs;
    if (odd && since <= ONE_MOVEMENT_MS) weight.oddMs += since;
    if (odd && weight.oddMs < NEW_AFTER_MS[name]) return;
    if (odd) {
      weight.samples = 1;
      weight.kn = hookload;
    } else {
      weight.samples += 1;
      const most = weight.samples <= ENOUGH_SAMPLES ? Infinity : CLIP_SHARE * expected;
      const gain = 1 / Math.min(weight.samples, MEMORY);
      weight.kn = expected + gain * Math.max(-most, Math.min(most, off));
    }
  }
  weight.oddMs = 0;
  weight.atMs = atMs;
  weight.depth = state.depth;
}

/** Another string hangs on the hook from now on: a liner has been let go of. */
export function forgetFreeWeights(state: StringWeight): void {
  for (const name of FREE_WEIGHTS) state.weights[name] = freeWeight();
}

/** The weight at the depth of now, kN (W3); NaN where it is not known there. */
function carried(state: StringWeight, weight: FreeWeight): number {
  const by = state.depth - weight.depth;
  if (Number.isNaN(state.knPerM)) return Math.abs(by) <= HOLDS_M ? weight.kn : Number.NaN;
  return weight.kn + by * state.knPerM;
}

/** One of the free weights at the depth of now, kN; NaN until it has been measured. */
export function freeWeightOf(state: StringWeight, name: FreeWeightName): number {
  const weight = state.weights[name];
  return weight.samples < ENOUGH_SAMPLES ? Number.NaN : carried(state, weight);
}

/** Set-down, kN, positive when weight rests on the tool; NaN until the free weight has been measured. Drag is in it (W1). */
export function setDownOf(state: StringWeight, sample: Sample): number {
  const turning = freeWeightOf(state, 'turning');
  return (Number.isNaN(turning) ? freeWeightOf(state, 'hanging') : turning) - sample.hookload;
}

/** Set-down net of drag (W2), kN; NaN until it can be known. */
export function netSetDownOf(state: StringWeight, sample: Sample): number {
  const turning = sample.rotation > TURNING_RPM;
  if (!turning && state.way !== 'still') {
    const moving = freeWeightOf(state, state.way);
    if (!Number.isNaN(moving)) return moving - sample.hookload;
  }
  return setDownOf(state, sample);
}

/** Pull above the free up-weight, kN; NaN until that has been measured, turning or not as the string is now. */
export function overpullOf(state: StringWeight, sample: Sample): number {
  return sample.hookload - freeWeightOf(state, sample.rotation > TURNING_RPM ? 'upTurning' : 'up');
}

const bandOf = (rpm: number): number => Math.min(TORQUE_BANDS - 1, Math.floor(rpm / TORQUE_BAND_RPM));

function learnTorque(state: StringWeight, { rotation, torque }: Sample): void {
  if (!(rotation > TURNING_RPM) || !(torque >= 0)) return;
  const band = bandOf(rotation);
  state.torqueSamples[band]! += 1;
  const before = state.torques[band]!;
  const gain = 1 / Math.min(state.torqueSamples[band]!, MEMORY);
  state.torques[band] = Number.isNaN(before) ? torque : before + gain * (torque - before);
}

/**
 * Torque above free rotation, kN·m: against what free rotation took in the same band of 10 rpm or in the nearest beside it.
 * NaN until that has been measured, and where the string does not turn.
 */
export function torqueOnToolOf(state: StringWeight, { rotation, torque }: Sample): number {
  if (!(rotation > TURNING_RPM)) return Number.NaN;
  const band = bandOf(rotation);
  for (const near of [band, band - 1, band + 1]) {
    if ((state.torqueSamples[near] ?? 0) >= ENOUGH_SAMPLES) return torque - state.torques[near]!;
  }
  return Number.NaN;
}
