/** Plays a scenario on a plan: the rig, its driller, its sensors, and the truth about it. Nothing here reads a clock. */

import { invariant } from '../../src/fault.ts';
import { compileJob, type Job, type Joint } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { workPlan } from './driller.ts';
import { engineeringOf } from './engineering.ts';
import type { Floor } from './floor.ts';
import { hydraulicsOf } from './hydraulics.ts';
import { seededRandom } from './random.ts';
import { createRig, STEP_MS } from './rig.ts';
import type { Scenario } from './scenario.ts';
import { scenarioProblems } from './scenarioProblems.ts';
import { createSensors, type RigReading } from './sensors.ts';
import { type TrueJoint, type Truth, TruthKeeper } from './truth.ts';

export type { RigReading, TrueJoint, Truth };

/** No trip takes longer: 30 days of rig time. */
const MOST_STEPS = (30 * 86_400_000) / STEP_MS;

/** Where the string's end is at the start: its leading tool `startAbove` above the first part to be expanded. */
function startEnd(job: Job, scenario: Scenario): number {
  const first = job.joints.find((joint) => joint.recipe);
  invariant(first?.recipe !== undefined, 'a plan to be simulated has a joint to be expanded');
  return first.from + job.tools[first.recipe.tools[0]!]!.offsetM - scenario.driller.startAbove;
}

/**
 * One reading after another; returns the truth when the trip is over. The same arguments give the same readings.
 * @param scenario without `scenarioProblems` on the plan
 */
export function* tripReadings(scenario: Scenario, plan: Plan): Generator<RigReading, Truth, undefined> {
  const job = compileJob(plan);
  invariant(scenarioProblems(scenario, job).length === 0, 'a scenario to be played fits its plan');
  const random = seededRandom(scenario.seed);
  const engineering = engineeringOf(job);
  const hydraulics = hydraulicsOf(job, engineering, scenario.rig.stringLoss, scenario.driller.pressureShare);
  const rig = createRig({
    job,
    engineering,
    hydraulics,
    startMs: Date.parse(scenario.startAt),
    endDepth: startEnd(job, scenario),
    block: scenario.rig.blockStart,
    blockWeightKn: job.blockWeightKn ?? scenario.rig.blockWeight,
    linerKn: scenario.hanger ? (job.engineering.hanger?.linerWeightKn ?? 0) : 0,
    gives: scenario.rig.gives || scenario.tag !== undefined,
    ripplePhases: [random.between(0, 6.28), random.between(0, 6.28)],
  });
  const truth = new TruthKeeper(rig);
  const sensors = createSensors(rig, scenario, random);
  let silence: { seconds: number; joint: Joint; fromMs: number } | undefined;
  const floor: Floor = {
    rig,
    hydraulics,
    scenario,
    truth,
    aim: { flow: 0, rpm: 0, feed: 0 },
    silence: (seconds, joint) => {
      // One that falls into another makes that longer.
      if (silence) silence.seconds += seconds;
      else silence = { seconds, joint, fromMs: Number.NaN };
    },
  };
  const framePeriodMs = scenario.stream.framePeriod * 1000;
  let nextFrameMs = rig.state.timeMs;
  let frames = 0;
  const work = workPlan(floor);
  for (let step = 0; step < MOST_STEPS; step++) {
    const isFrame = rig.state.timeMs >= nextFrameMs;
    sensors.follow();
    if (isFrame) {
      nextFrameMs += framePeriodMs;
      const now = rig.state.timeMs;
      // The silence starts after the frame that follows the call for it, so that the stretch is known to the step.
      if (silence && !Number.isNaN(silence.fromMs) && now >= silence.fromMs + silence.seconds * 1000) {
        truth.outage(silence.joint, silence.fromMs, now);
        truth.unseen = false;
        silence = undefined;
      }
      if (!truth.unseen) {
        frames++;
        yield sensors.read();
      }
      if (silence && Number.isNaN(silence.fromMs)) {
        silence.fromMs = now;
        truth.unseen = true;
      }
    }
    if (work.next().done) break;
    rig.step();
    truth.look();
  }
  return truth.result(frames);
}

export interface Trip {
  readonly readings: RigReading[];
  readonly truth: Truth;
}

export function simulateTrip(scenario: Scenario, plan: Plan): Trip {
  const readings: RigReading[] = [];
  const source = tripReadings(scenario, plan);
  for (let item = source.next(); ; item = source.next()) {
    if (item.done) return { readings, truth: item.value };
    readings.push(item.value);
  }
}
