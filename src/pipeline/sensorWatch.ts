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
} as const satisfies Partial<Record<keyof Sample, string>>;
export type WatchedSensor = keyof typeof WATCHED_SENSORS;
export const WATCHED_SENSOR_NAMES = Object.keys(WATCHED_SENSORS) as WatchedSensor[];

export interface SensorWatch {
  steadiness: Record<WatchedSensor, Steadiness>;
  /** Since when each sensor is stuck, ms; NaN for not. */
  stuckMs: Record<WatchedSensor, number>;
}

/** Pumps and rotation work the sensors from here on: share of the lowest recipe's pressure, and rpm. */
const WORKING_SHARE = 0.3;
const TURNING_RPM = 5;

export function createSensorWatch(): SensorWatch {
  return {
    steadiness: {
      standpipePressure: createSteadiness(),
      hookload: createSteadiness(),
      torque: createSteadiness(),
    },
    stuckMs: { standpipePressure: Number.NaN, hookload: Number.NaN, torque: Number.NaN },
  };
}

/** Works one sample in. In slips nothing is judged: the readings may well stand still. */
export function watchSensors(watch: SensorWatch, job: Job, sample: Sample, inSlips: boolean): void {
  const { steadiness, stuckMs } = watch;
  const working = !inSlips && sample.standpipePressure > WORKING_SHARE * lowestPressure(job);
  const leastMs = EVENTS['stuck sensor'].onDelayMs;
  for (const name of WATCHED_SENSOR_NAMES) {
    const live = working && (name !== 'torque' || sample.rotation > TURNING_RPM);
    if (live) stuckMs[name] = advanceSteadiness(steadiness[name], sample.sourceMs, sample[name], leastMs);
    else {
      restSteadiness(steadiness[name]);
      stuckMs[name] = Number.NaN;
    }
  }
}

/** A stretch without data: silence is no repetition. */
export function restSensors(watch: SensorWatch): void {
  for (const name of WATCHED_SENSOR_NAMES) restSteadiness(watch.steadiness[name]);
}

/** Since when the first of the stuck sensors has been stuck, ms; NaN when none is. */
export function firstStuckMs(watch: SensorWatch): number {
  let first = Number.NaN;
  for (const name of WATCHED_SENSOR_NAMES) {
    const since = watch.stuckMs[name];
    if (!Number.isNaN(since) && !(since >= first)) first = since;
  }
  return first;
}

function lowestPressure(job: Job): number {
  const { isolation, screen } = job.recipes;
  let low = Infinity;
  if (screen && screen.pressureMinKpa > 0) low = screen.pressureMinKpa;
  if (isolation && isolation.pressureMinKpa > 0) low = Math.min(low, isolation.pressureMinKpa);
  return low === Infinity ? 0 : low;
}
