/**
 * The conditions that raise events, one row each: when it stands, which value is judged, what the event says. Delays and dead
 * bands stand in `src/events.ts`, the bounds in the plan. To add an event, add its kind there and its row here.
 */
import type { Sample } from '../channels.ts';
import { EVENTS, type EventName } from '../events.ts';
import { BREACHES } from '../live/messages.ts';
import type { Measure, MeasuredText } from '../measuredText.ts';
import type { Recipe } from '../plan/job.ts';
import type { Quantity } from '../units.ts';
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
  says(moment: Moment, worst: number): MeasuredText;
}

/** A bound with the dead band of its event: once it is broken, the value must come back a little further. */
function isBelow({ run }: Moment, kind: EventName, value: number, min: number): boolean {
  return value < (isWatched(run.events, kind) ? min * (1 + EVENTS[kind].deadBand) : min);
}

function isAbove({ run }: Moment, kind: EventName, value: number, max: number): boolean {
  return value > (isWatched(run.events, kind) ? max * (1 - EVENTS[kind].deadBand) : max);
}

const measure = (quantity: Quantity, value: number, decimals: number): Measure => ({ quantity, value, decimals });

const tooLow = (quantity: Quantity, worst: number, least: number, decimals: number): MeasuredText => [
  'down to ',
  measure(quantity, worst, decimals),
  ', at least ',
  measure(quantity, least, decimals),
  ' wanted',
];
const tooHigh = (quantity: Quantity, worst: number, most: number, decimals: number): MeasuredText => [
  'up to ',
  measure(quantity, worst, decimals),
  ', at most ',
  measure(quantity, most, decimals),
  ' allowed',
];

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
    says: (m, worst) => tooLow('pressure', worst, m.recipe!.pressureMinKpa, 0),
  },
  {
    kind: 'high pressure',
    breach: BREACHES.pressure,
    worseIs: 'high',
    stands: (m) =>
      m.recipe !== undefined && isAbove(m, 'high pressure', m.sample.standpipePressure, m.recipe.pressureMaxKpa),
    value: (m) => m.sample.standpipePressure,
    says: (m, worst) => tooHigh('pressure', worst, m.recipe!.pressureMaxKpa, 0),
  },
  {
    kind: 'high torque',
    breach: BREACHES.torque,
    worseIs: 'high',
    stands: (m) => m.recipe !== undefined && isAbove(m, 'high torque', m.sample.torque, m.recipe.torqueMaxKnm),
    value: (m) => m.sample.torque,
    says: (m, worst) => tooHigh('torque', worst, m.recipe!.torqueMaxKnm, 1),
  },
  {
    kind: 'rotation lost',
    breach: BREACHES.rotation,
    worseIs: 'low',
    stands: (m) =>
      m.recipe !== undefined && m.advancing && isBelow(m, 'rotation lost', m.sample.rotation, m.recipe.rpmMin),
    value: (m) => m.sample.rotation,
    says: (m, worst) => tooLow('rotation', worst, m.recipe!.rpmMin, 0),
  },
  {
    kind: 'fast feed',
    breach: BREACHES.feed,
    worseIs: 'high',
    // On ground that is expanded already nothing is lost by it; without pressure or rotation the metres are lost anyway, and
    // the event that says why is another one.
    stands: (m) =>
      m.recipe !== undefined &&
      m.advancing &&
      m.run.work.newGround &&
      isPressed(m) &&
      isTurning(m) &&
      isFastNow(m.run, m.recipe, m.sample.sourceMs),
    value: (m) => m.run.motion.feed,
    sinceMs: (m) => Math.max(m.run.work.newGroundMs, m.run.provenFastFromMs[m.recipe!.kind === 'isolation' ? 0 : 1]),
    says: (m, worst) => tooHigh('feed', worst, m.recipe!.feedMaxMPerMin, 2),
  },
  {
    kind: 'stall',
    breach: 0,
    worseIs: 'high',
    stands: (m) => m.recipe !== undefined && !Number.isNaN(m.run.stalledMs),
    value: (m) => m.sample.torque,
    sinceMs: (m) => m.run.stalledMs,
    says: (_, worst) =>
      Number.isNaN(worst)
        ? 'rolling without getting deeper'
        : ['rolling without getting deeper, torque up to ', measure('torque', worst, 1)],
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
