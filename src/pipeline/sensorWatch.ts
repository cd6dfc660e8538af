/** The sensors that are watched for standing still, while pumps and rotation make them waver. */
import type { Sample } from '../channels.ts';
import { EVENTS } from '../events.ts';
import type { Job } from '../plan/job.ts';
import { advanceSteadiness, createSteadiness, restSteadiness, type Steadiness } from './stuckSensor.ts';

/** Channels that are watched, and what to call them. */
export const WATCHED_SENSORS = {
  standpipePressure: 'standpipe pressure',
  hookload: 'hookload',
  torque: 'torque',
  flowIn: 'flow in',
  rotation: 'rotation',
  blockPosition: 'block position',
  bitDepth: 'end depth',
} as const satisfies Partial<Record<keyof Sample, string>>;
export type WatchedSensor = keyof typeof WATCHED_SENSORS;
export const WATCHED_SENSOR_NAMES = Object.keys(WATCHED_SENSORS) as WatchedSensor[];

/** Sensors that waver while they work; the other two follow each other. */
const WAVERING = ['standpipePressure', 'hookload', 'torque', 'flowIn', 'rotation'] as const;

/** A reading that has not changed to the last digit, and where the other one of the pair was when it came to stand. */
export interface Follower {
  value: number;
  other: number;
  sinceMs: number;
}

export interface SensorWatch {
  steadiness: Record<(typeof WAVERING)[number], Steadiness>;
  block: Follower;
  depth: Follower;
  /** Since when each sensor is stuck, ms; NaN for not. */
  stuckMs: Record<WatchedSensor, number>;
}

/** Pumps and rotation work the sensors from here on: share of the lowest recipe's pressure, and rpm. */
const WORKING_SHARE = 0.3;
const TURNING_RPM = 5;
/** Block and end depth never come in steps this coarse, m. */
const FOLLOWS_WITHIN_M = 1.5;
const LEAST_STUCK_MS = EVENTS['stuck sensor'].onDelayMs;

export function createSensorWatch(): SensorWatch {
  return {
    steadiness: {
      standpipePressure: createSteadiness(),
      hookload: createSteadiness(),
      torque: createSteadiness(),
      flowIn: createSteadiness(),
      rotation: createSteadiness(),
    },
    block: { value: Number.NaN, other: Number.NaN, sinceMs: Number.NaN },
    depth: { value: Number.NaN, other: Number.NaN, sinceMs: Number.NaN },
    stuckMs: {
      standpipePressure: Number.NaN,
      hookload: Number.NaN,
      torque: Number.NaN,
      flowIn: Number.NaN,
      rotation: Number.NaN,
      blockPosition: Number.NaN,
      bitDepth: Number.NaN,
    },
  };
}

/** Works one sample in. In slips nothing is judged: the readings may well stand still. */
export function watchSensors(watch: SensorWatch, job: Job, sample: Sample, inSlips: boolean): void {
  const { steadiness, stuckMs } = watch;
  const working = !inSlips && sample.standpipePressure > WORKING_SHARE * lowestPressure(job);
  // Pumped through and turning, the string is out of the slips: block and end depth move together or not at all.
  const together = working && sample.rotation > TURNING_RPM;
  const { blockPosition: block, bitDepth: depth, sourceMs } = sample;
  // Each by its own name: a loop over names looks every one of them up for every sample.
  stuckMs.standpipePressure = waver(steadiness.standpipePressure, working, sourceMs, sample.standpipePressure);
  stuckMs.hookload = waver(steadiness.hookload, working, sourceMs, sample.hookload);
  stuckMs.torque = waver(steadiness.torque, together, sourceMs, sample.torque);
  stuckMs.flowIn = waver(steadiness.flowIn, working, sourceMs, sample.flowIn);
  stuckMs.rotation = waver(steadiness.rotation, together, sourceMs, sample.rotation);
  stuckMs.blockPosition = together ? follow(watch.block, block, depth, sourceMs) : forget(watch.block);
  stuckMs.bitDepth = together ? follow(watch.depth, depth, block, sourceMs) : forget(watch.depth);
}

function waver(state: Steadiness, live: boolean, atMs: number, value: number): number {
  if (live) return advanceSteadiness(state, atMs, value, LEAST_STUCK_MS);
  // What rests already has nothing to end.
  if (!Number.isNaN(state.sameMs) || !Number.isNaN(state.last) || state.stuck) restSteadiness(state);
  return Number.NaN;
}

function forget(state: Follower): number {
  state.value = Number.NaN;
  return Number.NaN;
}

/** Since when a reading has stood although the other one has moved by more than any step of it, ms; NaN: it has not. */
function follow(state: Follower, value: number, other: number, atMs: number): number {
  if (Number.isNaN(value) || Number.isNaN(other)) return Number.NaN;
  if (value !== state.value) {
    state.value = value;
    state.other = other;
    state.sinceMs = atMs;
  }
  return Math.abs(other - state.other) > FOLLOWS_WITHIN_M ? state.sinceMs : Number.NaN;
}

/** A stretch without data: silence is no repetition. */
export function restSensors(watch: SensorWatch): void {
  for (const name of WAVERING) restSteadiness(watch.steadiness[name]);
  forget(watch.block);
  forget(watch.depth);
}

/** Since when the first of the stuck sensors has been stuck, ms; NaN when none is. */
export function firstStuckMs(watch: SensorWatch): number {
  const { stuckMs } = watch;
  let first = earlier(stuckMs.standpipePressure, stuckMs.hookload);
  first = earlier(first, stuckMs.torque);
  first = earlier(first, stuckMs.flowIn);
  first = earlier(first, stuckMs.rotation);
  first = earlier(first, stuckMs.blockPosition);
  return earlier(first, stuckMs.bitDepth);
}

/** The earlier of two times, ms; NaN stands for never. */
const earlier = (one: number, other: number): number => (other < one || Number.isNaN(one) ? other : one);

function lowestPressure(job: Job): number {
  const { isolation, screen } = job.recipes;
  let low = Infinity;
  if (screen && screen.pressureMinKpa > 0) low = screen.pressureMinKpa;
  if (isolation && isolation.pressureMinKpa > 0) low = Math.min(low, isolation.pressureMinKpa);
  return low === Infinity ? 0 : low;
}
