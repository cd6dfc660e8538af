/**
 * Judges every condition of the table at one sample, where it means something: by the recipe at work, while somebody means
 * to expand, on ground that is not expanded yet or where the tool was rolling well until now.
 */
import type { Sample } from '../channels.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { Job, Joint } from '../plan/job.ts';
import type { Condition, Moment } from './condition.ts';
import { CONDITIONS } from './conditionTable.ts';
import { depthTolerance } from './endDepthState.ts';
import { type EventLog, formWatched, isIdle, type Reading, type Watch, watchCondition } from './eventLog.ts';
import { judgedKpa, type Pressures } from './judgedPressure.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { watchSensors } from './sensorWatch.ts';

/** An advance is fresh for this long, or for as long as a slow feed takes to show in the readings. */
const FRESH_MS = 3_000;
const SLOW_FEED_M_PER_MIN = 0.4;
export function judgeConditions(run: Run, sample: Sample): void {
  const { job, work, slips, motion, events } = run;
  // While the hanger is set, tested or let go of, nobody means to expand.
  const joint = work.joint >= 0 && !slips.in && !run.hanger.phase ? job.joints[work.joint] : undefined;
  const down = joint !== undefined && motion.way === 'down';
  if (!down || work.rolling !== work.joint) work.rolling = -1;
  if (down && isRollingWell(joint, sample, run.pressures)) work.rolling = work.joint;
  // A string that is shut by a ball holds its pressure with a flow that repeats nothing.
  watchSensors(run.sensors, job, sample, slips.in || run.hanger.phase !== null);
  const moment: Moment = {
    run,
    sample,
    recipe: joint?.recipe,
    advancing: down && (work.newGround || work.rolling >= 0) && isAdvancingNow(run, sample.sourceMs),
  };
  run.breach = 0;
  const { list } = judgedIn(run);
  const idle = joint === undefined;
  for (let i = 0; i < list.length; i += 1) {
    const { stands, condition, watch, ofRecipe } = list[i]!;
    if ((idle && ofRecipe) || !stands(moment)) {
      if (!isIdle(watch)) watchCondition(events, condition.kind, sample.sourceMs, null);
    } else standing(moment, condition);
  }
}

function standing(moment: Moment, condition: Condition): void {
  const { run, sample } = moment;
  const { kind } = condition;
  const says = (worst: number): MeasuredText => condition.says(moment, worst);
  run.breach |= condition.breach;
  watchCondition(run.events, kind, sample.sourceMs, readingOf(moment, condition), says);
  if (condition.form) formWatched(run.events, kind, condition.form(moment), says);
}

/** A condition that can stand under the plan. All of one shape: what is asked at every sample is found at once. */
interface Asked {
  readonly stands: Condition['stands'];
  readonly ofRecipe: boolean;
  readonly watch: Watch;
  readonly condition: Condition;
}

/** Those of a job, in the order of the table. */
interface Judged {
  readonly job: Job;
  readonly list: readonly Asked[];
}

/** Beside the run and not in it, since it can be worked out from it at any time. */
const judgedOf = new WeakMap<EventLog, Judged>();

function judgedIn({ job, events }: Run): Judged {
  const before = judgedOf.get(events);
  if (before?.job === job) return before;
  // What stood under the plan before has its end still to come.
  const planned = CONDITIONS.filter(
    ({ kind, isPlanned }) => isPlanned?.(job) !== false || !isIdle(events.watches[kind]),
  );
  const list = planned.map((condition) => ({
    stands: condition.stands,
    ofRecipe: condition.ofRecipe === true,
    watch: events.watches[condition.kind],
    condition,
  }));
  const judged = { job, list };
  judgedOf.set(events, judged);
  return judged;
}

function readingOf(moment: Moment, condition: Condition): Reading {
  const { run, sample } = moment;
  const { focusJoint, focusTool } = run.work;
  const place = condition.at?.(moment);
  const joint = focusJoint >= 0 ? run.job.joints[focusJoint]!.name : null;
  return {
    joint: place ? place.joint : joint,
    depth: place ? place.depth : run.toolDepths[focusTool]!,
    fromMs: condition.sinceMs ? condition.sinceMs(moment) : sample.sourceMs,
    value: condition.value(moment),
    worseIs: condition.worseIs,
    toleranceM: depthTolerance(run.endDepth),
  };
}

function isRollingWell(joint: Joint, sample: Sample, pressures: Pressures): boolean {
  const recipe = joint.recipe!;
  return judgedKpa(recipe, pressures) >= recipe.pressureMinKpa && !(sample.rotation < recipe.rpmMin);
}

/** Whether the last advance that the readings show is as fresh as a slow feed and their resolution allow. */
function isAdvancingNow(run: Run, atMs: number): boolean {
  const freshMs = Math.max(
    FRESH_MS,
    2.2 * periodMs(run.period),
    ((2 * depthTolerance(run.endDepth)) / SLOW_FEED_M_PER_MIN) * 60_000,
  );
  return atMs - run.motion.anchorMs <= freshMs;
}
