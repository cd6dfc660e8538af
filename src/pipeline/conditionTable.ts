/**
 * The conditions that raise events, one row each: when it stands, which value is judged, what the event says. Delays and dead
 * bands stand in `src/events.ts`, the bounds in the plan. To add an event, add its kind there and its row here.
 */
import type { Sample } from '../channels.ts';
import { EVENTS, type EventName } from '../events.ts';
import { BREACHES } from '../live/messages.ts';
import type { Recipe } from '../plan/job.ts';
import { converter, type Quantity } from '../units.ts';
import { isWatched } from './eventLog.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { firstStuckMs, WATCHED_SENSOR_NAMES, WATCHED_SENSORS } from './sensorWatch.ts';

/** What a condition is judged on. */
export interface Moment {
  readonly run: Run;
  readonly sample: Sample;
  /** The recipe at work, undefined when nothing is, or in slips. */
  readonly recipe: Recipe | undefined;
  /** The tool gets deeper, on ground where it matters. */
  readonly advancing: boolean;
}

export interface Condition {
  readonly kind: EventName;
  /** Bit of `BREACHES` that it sets, 0 for none. */
  readonly breach: number;
  readonly worseIs: 'low' | 'high';
  stands(moment: Moment): boolean;
  /** The value judged; the worst one goes into the words. */
  value(moment: Moment): number;
  /** When it began, where that is known to be earlier than now, ms. */
  sinceMs?(moment: Moment): number;
  says(moment: Moment, worst: number): string;
}

/** A bound with the dead band of its event: once it is broken, the value must come back a little further. */
function isBelow({ run }: Moment, kind: EventName, value: number, min: number): boolean {
  return value < (isWatched(run.events, kind) ? min * (1 + EVENTS[kind].deadBand) : min);
}

function isAbove({ run }: Moment, kind: EventName, value: number, max: number): boolean {
  return value > (isWatched(run.events, kind) ? max * (1 - EVENTS[kind].deadBand) : max);
}

/** A value in the plan's own units, with their label. */
function inWords(moment: Moment, quantity: Quantity, value: number, decimals: number): string {
  const units = converter(moment.run.job.units);
  return `${units.out(quantity, value).toFixed(decimals)} ${units.label(quantity)}`;
}

/** A feed that was too fast at the last sample is so now: for this long, or for two frames. */
const FAST_LASTS_MS = 3_000;

/** Whether feed above the recipe's bound is proven up to about now. */
export function isFastNow(run: Run, recipe: Recipe, atMs: number): boolean {
  const provenMs = run.provenFastMs[recipe.kind === 'isolation' ? 0 : 1];
  return atMs - provenMs <= Math.max(FAST_LASTS_MS, 2.2 * periodMs(run.period));
}

const isTurning = ({ sample, recipe }: Moment): boolean => !(sample.rotation < (recipe?.rpmMin ?? -Infinity));
const isPressed = ({ sample, recipe }: Moment): boolean =>
  !(sample.standpipePressure < (recipe?.pressureMinKpa ?? -Infinity));

export const CONDITIONS: readonly Condition[] = [
  {
    kind: 'low pressure',
    breach: BREACHES.pressure,
    worseIs: 'low',
    stands: (m) =>
      m.recipe !== undefined &&
      m.advancing &&
      isBelow(m, 'low pressure', m.sample.standpipePressure, m.recipe.pressureMinKpa),
    value: (m) => m.sample.standpipePressure,
    says: (m, worst) =>
      `down to ${inWords(m, 'pressure', worst, 0)}, at least ${inWords(m, 'pressure', m.recipe!.pressureMinKpa, 0)} wanted`,
  },
  {
    kind: 'high pressure',
    breach: BREACHES.pressure,
    worseIs: 'high',
    stands: (m) =>
      m.recipe !== undefined && isAbove(m, 'high pressure', m.sample.standpipePressure, m.recipe.pressureMaxKpa),
    value: (m) => m.sample.standpipePressure,
    says: (m, worst) =>
      `up to ${inWords(m, 'pressure', worst, 0)}, at most ${inWords(m, 'pressure', m.recipe!.pressureMaxKpa, 0)} allowed`,
  },
  {
    kind: 'high torque',
    breach: BREACHES.torque,
    worseIs: 'high',
    stands: (m) => m.recipe !== undefined && isAbove(m, 'high torque', m.sample.torque, m.recipe.torqueMaxKnm),
    value: (m) => m.sample.torque,
    says: (m, worst) =>
      `up to ${inWords(m, 'torque', worst, 1)}, at most ${inWords(m, 'torque', m.recipe!.torqueMaxKnm, 1)} allowed`,
  },
  {
    kind: 'rotation lost',
    breach: BREACHES.rotation,
    worseIs: 'low',
    stands: (m) =>
      m.recipe !== undefined && m.advancing && isBelow(m, 'rotation lost', m.sample.rotation, m.recipe.rpmMin),
    value: (m) => m.sample.rotation,
    says: (m, worst) => `down to ${worst.toFixed(0)} rpm, at least ${m.recipe!.rpmMin.toFixed(0)} wanted`,
  },
  {
    kind: 'fast feed',
    breach: BREACHES.feed,
    worseIs: 'high',
    // Without pressure or rotation the metres are lost anyway, and the event that says why is another one.
    stands: (m) =>
      m.recipe !== undefined &&
      m.advancing &&
      isPressed(m) &&
      isTurning(m) &&
      isFastNow(m.run, m.recipe, m.sample.sourceMs),
    value: (m) => m.run.motion.feed,
    sinceMs: (m) => m.run.provenFastFromMs[m.recipe!.kind === 'isolation' ? 0 : 1],
    says: (m, worst) =>
      `up to ${inWords(m, 'feed', worst, 2)}, at most ${inWords(m, 'feed', m.recipe!.feedMaxMPerMin, 2)} allowed`,
  },
  {
    kind: 'stall',
    breach: 0,
    worseIs: 'high',
    stands: (m) => m.recipe !== undefined && !Number.isNaN(m.run.stalledMs),
    value: (m) => m.sample.torque,
    sinceMs: (m) => m.run.stalledMs,
    says: (m, worst) =>
      `rolling without getting deeper${Number.isNaN(worst) ? '' : `, torque up to ${inWords(m, 'torque', worst, 1)}`}`,
  },
  {
    kind: 'stuck sensor',
    breach: 0,
    worseIs: 'low',
    stands: (m) => !Number.isNaN(firstStuckMs(m.run.sensors)),
    value: () => 0,
    sinceMs: (m) => firstStuckMs(m.run.sensors),
    says: ({ run }) => {
      const stuck = WATCHED_SENSOR_NAMES.filter((name) => !Number.isNaN(run.sensors.stuckMs[name]));
      return `${stuck.map((name) => WATCHED_SENSORS[name]).join(', ')} repeats one reading`;
    },
  },
];
