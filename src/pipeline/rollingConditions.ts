/** Conditions of rolling: the bounds of the recipe at work, stalls, sensors that stand still. */
import type { Job, Recipe } from '../plan/job.ts';
import { BREACHES } from '../traces/traceColumns.ts';
import {
  type Condition,
  isAbove,
  isBelow,
  isPressed,
  isTurning,
  judged,
  type Moment,
  measure,
  tooHigh,
  tooLow,
} from './condition.ts';
import { periodMs } from './period.ts';
import { feedPerTurnOf, longDwellMs } from './rollingQuality.ts';
import type { Run } from './runState.ts';
import { firstStuckMs, WATCHED_SENSOR_NAMES, WATCHED_SENSORS } from './sensorWatch.ts';
import { netSetDownOf } from './setDown.ts';

/** So many sensors do not die at once: the feed itself repeats (common practice: more than three). */
const FEED_FAULT_CHANNELS = 4;
/** A feed that was too fast at the last sample is so now: for this long, or for two frames. */
const FAST_LASTS_MS = 3_000;

/** Whether feed above the recipe's bound is proven up to about now. */
export function isFastNow(run: Run, recipe: Recipe, atMs: number): boolean {
  const provenMs = run.provenFastMs[recipe.kind === 'isolation' ? 0 : 1];
  return atMs - provenMs <= Math.max(FAST_LASTS_MS, 2.2 * periodMs(run.period));
}

/** The same for feed per turn. */
export function isCoarseNow(run: Run, recipe: Recipe, atMs: number): boolean {
  const provenMs = run.sweep.perTurnMs[recipe.kind === 'isolation' ? 0 : 1];
  return atMs - provenMs <= Math.max(FAST_LASTS_MS, 2.2 * periodMs(run.period));
}

const boundsFeedPerTurn = ({ recipes: { isolation, screen } }: Job): boolean =>
  (isolation?.feedPerTurnMaxM ?? Infinity) < Infinity || (screen?.feedPerTurnMaxM ?? Infinity) < Infinity;

const MM_PER_M = 1000;

/** How a stall shows: the rotation held, or the tool turning in place. */
function stallWords({ run, sample }: Moment): string {
  const { form } = run.stall;
  if (form === 'rotational') return 'rotational: held, the rotation has fallen';
  if (form === '') return 'rolling without getting deeper';
  return netSetDownOf(run.stringWeight, sample) > 0
    ? 'axial: turning without getting deeper, weight on the tool'
    : 'axial: turning without getting deeper';
}

export const ROLLING_CONDITIONS: readonly Condition[] = [
  {
    kind: 'low pressure',
    breach: BREACHES.pressure,
    worseIs: 'low',
    ofRecipe: true,
    stands: (m) =>
      m.recipe !== undefined && m.advancing && isBelow(m, 'low pressure', judged(m), m.recipe.pressureMinKpa),
    value: judged,
    says: (m, worst) => tooLow('pressure', worst, m.recipe!.pressureMinKpa, 0),
  },
  {
    kind: 'high pressure',
    breach: BREACHES.pressure,
    worseIs: 'high',
    ofRecipe: true,
    stands: (m) => m.recipe !== undefined && isAbove(m, 'high pressure', judged(m), m.recipe.pressureMaxKpa),
    value: judged,
    says: (m, worst) => tooHigh('pressure', worst, m.recipe!.pressureMaxKpa, 0),
  },
  {
    kind: 'high torque',
    breach: BREACHES.torque,
    worseIs: 'high',
    ofRecipe: true,
    stands: (m) => m.recipe !== undefined && isAbove(m, 'high torque', m.sample.torque, m.recipe.torqueMaxKnm),
    value: (m) => m.sample.torque,
    says: (m, worst) => tooHigh('torque', worst, m.recipe!.torqueMaxKnm, 1),
  },
  {
    kind: 'rotation lost',
    breach: BREACHES.rotation,
    worseIs: 'low',
    ofRecipe: true,
    stands: (m) =>
      m.recipe !== undefined && m.advancing && isBelow(m, 'rotation lost', m.sample.rotation, m.recipe.rpmMin),
    value: (m) => m.sample.rotation,
    says: (m, worst) => tooLow('rotation', worst, m.recipe!.rpmMin, 0),
  },
  {
    kind: 'fast feed',
    breach: BREACHES.feed,
    worseIs: 'high',
    ofRecipe: true,
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
    kind: 'high feed per turn',
    breach: BREACHES.feed,
    worseIs: 'high',
    isPlanned: boundsFeedPerTurn,
    ofRecipe: true,
    stands: (m) =>
      m.recipe !== undefined &&
      m.advancing &&
      m.run.work.newGround &&
      isPressed(m) &&
      isTurning(m) &&
      isCoarseNow(m.run, m.recipe, m.sample.sourceMs),
    value: (m) => feedPerTurnOf(m.run),
    sinceMs: (m) => Math.max(m.run.work.newGroundMs, m.run.sweep.perTurnFromMs[m.recipe!.kind === 'isolation' ? 0 : 1]),
    says: (m, worst) =>
      Number.isNaN(worst)
        ? [
            'getting deeper without turning, at most ',
            measure('diameter', m.recipe!.feedPerTurnMaxM * MM_PER_M, 1),
            ' a turn allowed',
          ]
        : [
            'up to ',
            measure('diameter', worst * MM_PER_M, 1),
            ' a turn, at most ',
            measure('diameter', m.recipe!.feedPerTurnMaxM * MM_PER_M, 1),
            ' allowed',
          ],
  },
  {
    kind: 'stall',
    breach: 0,
    worseIs: 'high',
    isPlanned: (job) => job.stall !== undefined,
    ofRecipe: true,
    stands: (m) => m.recipe !== undefined && !Number.isNaN(m.run.stalledMs),
    value: (m) => m.sample.torque,
    sinceMs: (m) => m.run.stalledMs,
    form: (m) => m.run.stall.form || undefined,
    says: (m, worst) =>
      Number.isNaN(worst) ? stallWords(m) : [`${stallWords(m)}, torque up to `, measure('torque', worst, 1)],
  },
  {
    kind: 'long dwell',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.dwellMs < Infinity,
    stands: ({ run }) => !Number.isNaN(longDwellMs(run)),
    value: ({ run }) => (run.lastMs - longDwellMs(run)) / 1000,
    sinceMs: ({ run }) => longDwellMs(run),
    says: ({ run }) => [
      'rolling at ',
      measure('length', run.rollingQuality.dwell.depth, 2),
      ` for more than ${(run.job.engineering.limits.dwellMs / 1000).toFixed(0)} s`,
    ],
  },
  {
    kind: 'pressure at connection',
    breach: BREACHES.pressure,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.connectionPressureMaxKpa < Infinity,
    stands: ({ run }) => run.rollingQuality.atConnection.tool >= 0 && run.rollingQuality.atConnection.proven,
    value: ({ run }) => run.rollingQuality.atConnection.kpa,
    sinceMs: ({ run }) => run.rollingQuality.atConnection.sinceMs,
    at: ({ run }) => {
      const { joint, depth } = run.rollingQuality.atConnection;
      return { joint: run.job.joints[joint]!.name, depth };
    },
    says: (m, worst) => tooHigh('pressure', worst, m.run.job.engineering.limits.connectionPressureMaxKpa, 0),
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
      const names = stuck.map((name) => WATCHED_SENSORS[name]).join(', ');
      return stuck.length >= FEED_FAULT_CHANNELS
        ? `feed fault: ${stuck.length} channels repeat one reading at once: ${names}`
        : `${names} repeats one reading`;
    },
  },
];
