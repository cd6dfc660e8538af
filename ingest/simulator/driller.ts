/** The automatic driller: works any plan joint by joint, from just above the first part to be expanded to the last. */
import type { Joint, Recipe } from '../../src/plan/job.ts';
import { advance } from './advance.ts';
import { brakingM, bringUp, type Floor, halt, moveTo, type Work, wait } from './floor.ts';
import { openSub, setHanger } from './hangerWork.ts';
import { aimedKpa, flowForRecipe } from './hydraulics.ts';
import { meetIncident } from './meetIncident.ts';
import type { Rig } from './rig.ts';
import { tagDepth } from './tagWork.ts';

/** Pumps just turning: far below any pressure that pushes a roller, L/min. */
const LOW_FLOW = 300;
/** A sweep starts this far above the part to be expanded and ends this far below it, m. */
const LEAD_M = 0.25;
const OVERRUN_M = 0.05;
/** Joints whose parts to be expanded lie nearer than this may be crossed with the pressure kept, m. */
const CROSSED_WITHIN_M = 3;
const PICK_UP_M_PER_MIN = 5;
const END_PICK_UP_M = 5;

function aimAt({ aim, hydraulics, scenario }: Floor, recipe: Recipe): void {
  const { driller } = scenario;
  const pressure = aimedKpa(recipe, driller.pressureShare);
  aim.flow = flowForRecipe(hydraulics, recipe, pressure);
  aim.rpm = Math.max(driller.rpm[recipe.kind], Number.isFinite(recipe.rpmMin) ? recipe.rpmMin * 1.3 : 0);
  aim.feed = Math.min(driller.feed[recipe.kind], recipe.feedMaxMPerMin * 0.85);
}

const offsetFor = (rig: Rig, recipe: Recipe): number => rig.job.tools[recipe.tools[0]!]!.offsetM;

/** Takes the pressure off and brings the tool to where its next sweep starts. */
function* approach(floor: Floor, joint: Joint, startEnd: number): Work {
  const { rig, aim, truth, scenario } = floor;
  yield* halt(rig);
  aim.flow = LOW_FLOW;
  yield* bringUp(floor);
  if (startEnd < rig.state.endDepth) {
    truth.phase = 'picking up';
    yield* moveTo(rig, startEnd, PICK_UP_M_PER_MIN);
  } else {
    const before = rig.job.joints[joint.index - 1];
    truth.phase = before && before.requiredM === 0 ? 'passing blank' : 'crossing connection';
    aim.feed = scenario.driller.travelSpeed;
    // The last metre is taken by `moveTo`, which stops where it is told.
    yield* advance(floor, startEnd - brakingM(aim.feed) - 0.3);
    yield* moveTo(rig, startEnd, scenario.driller.travelSpeed / 2);
  }
  aimAt(floor, joint.recipe!);
  yield* bringUp(floor);
}

function* expand(floor: Floor, joint: Joint, offset: number): Work {
  const { scenario, truth } = floor;
  truth.phase = joint.kind === 'isolation' ? 'expanding isolation' : 'expanding screen';
  const incidents = scenario.incidents
    .filter((incident) => incident.joint === joint.name)
    .sort((a, b) => a.into - b.into);
  for (const incident of incidents) {
    yield* advance(floor, joint.from + incident.into + offset);
    yield* meetIncident(floor, joint, incident);
  }
  yield* advance(floor, joint.to + offset + OVERRUN_M);
}

/** The whole trip: from just above the first part to be expanded to the end of the last. */
export function* workPlan(floor: Floor): Work {
  const { rig, aim, scenario, truth } = floor;
  if (scenario.hanger) yield* setHanger(floor);
  truth.phase = 'waiting';
  yield* wait(60);
  truth.phase = 'circulating';
  aim.flow = LOW_FLOW;
  yield* bringUp(floor);
  yield* wait(60);
  if (scenario.tag) yield* tagDepth(floor);
  let lastOffset = Number.NaN;
  for (const joint of rig.job.joints) {
    if (!joint.recipe) continue;
    const offset = offsetFor(rig, joint.recipe);
    const startEnd = joint.from - LEAD_M + offset;
    const ahead = startEnd - rig.state.endDepth;
    const keeps = scenario.driller.crossing === 'pressure kept' && offset === lastOffset;
    if (keeps && ahead > 0 && ahead < CROSSED_WITHIN_M) {
      truth.phase = 'crossing connection';
      yield* advance(floor, startEnd);
    } else yield* approach(floor, joint, startEnd);
    yield* expand(floor, joint, offset);
    lastOffset = offset;
  }
  yield* halt(rig);
  aim.flow = 0;
  rig.controls.flowLPerMin = 0;
  yield* wait(30);
  truth.phase = 'picking up';
  yield* moveTo(rig, rig.state.endDepth - END_PICK_UP_M, PICK_UP_M_PER_MIN);
  rig.controls.rpm = 0;
  truth.phase = 'waiting';
  yield* wait(60);
  if (scenario.hanger?.openSub) yield* openSub(floor);
}
