/**
 * Judges every condition of the table at one sample, where it means something: by the recipe at work, while somebody means
 * to expand, on ground that is not expanded yet or where the tool was rolling well until now.
 */
import type { Sample } from '../channels.ts';
import type { Joint } from '../plan/job.ts';
import { CONDITIONS, type Moment } from './conditionTable.ts';
import { depthTolerance } from './endDepth.ts';
import { type Reading, watchCondition } from './eventLog.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { watchSensors } from './sensorWatch.ts';

/** An advance is fresh for this long, or for as long as a slow feed takes to show in the readings. */
const FRESH_MS = 3_000;
const SLOW_FEED_M_PER_MIN = 0.4;
export function judgeConditions(run: Run, sample: Sample): void {
  const { job, work, slips, motion, events } = run;
  const joint = work.joint >= 0 && !slips.in ? job.joints[work.joint] : undefined;
  const down = joint !== undefined && motion.way === 'down';
  if (!down || work.rolling !== work.joint) work.rolling = -1;
  if (down && isRollingWell(joint, sample)) work.rolling = work.joint;
  watchSensors(run.sensors, job, sample, slips.in);
  const moment: Moment = {
    run,
    sample,
    recipe: joint?.recipe,
    advancing: down && (work.newGround || work.rolling >= 0) && isAdvancingNow(run, sample.sourceMs),
  };
  run.breach = 0;
  for (const condition of CONDITIONS) {
    if (!condition.stands(moment)) {
      watchCondition(events, condition.kind, sample.sourceMs, null);
      continue;
    }
    run.breach |= condition.breach;
    watchCondition(
      events,
      condition.kind,
      sample.sourceMs,
      readingOf(moment, condition.value(moment), condition.worseIs, condition.sinceMs?.(moment)),
      (worst) => condition.says(moment, worst),
    );
  }
}

function readingOf(
  { run, sample }: Moment,
  value: number,
  worseIs: 'low' | 'high',
  sinceMs = sample.sourceMs,
): Reading {
  const { focusJoint, focusTool } = run.work;
  return {
    joint: focusJoint >= 0 ? run.job.joints[focusJoint]!.name : null,
    depth: run.toolDepths[focusTool]!,
    fromMs: sinceMs,
    value,
    worseIs,
    toleranceM: depthTolerance(run.endDepth),
  };
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
    ((2 * depthTolerance(run.endDepth)) / SLOW_FEED_M_PER_MIN) * 60_000,
  );
  return atMs - run.motion.anchorMs <= freshMs;
}
