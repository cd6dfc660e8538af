/** What happens when one of the scenario's incidents comes, and what the driller does about it. */
import type { Joint } from '../../src/plan/job.ts';
import { advance } from './advance.ts';
import { bringUp, type Floor, halt, moveTo, type Work, wait, waitUntil } from './floor.ts';
import { flowForRecipe, standpipeKpa, stringLossKpa, valveFor } from './hydraulics.ts';
import { meetPressureIncident } from './pressureIncidents.ts';
import type { Incident } from './scenario.ts';

const STALL_PICK_UP = { metres: 1, freeAfterM: 0.3, mPerMin: 3 } as const;
/** A second pass starts this far above the stretch, m. */
const REPAIR_LEAD_M = 0.4;

function* stall(floor: Floor, joint: Joint, incident: Incident & { kind: 'stall' }): Work {
  const { rig, truth, aim } = floor;
  const expanding = truth.phase;
  truth.underway = { kind: 'stall', joint };
  truth.phase = 'stalled';
  rig.troubles.held = true;
  rig.controls.speedMPerMin = aim.feed;
  yield* wait(incident.seconds);
  truth.phase = 'picking up';
  const from = rig.state.endDepth;
  rig.controls.speedMPerMin = -STALL_PICK_UP.mPerMin;
  yield* waitUntil(() => rig.state.endDepth < from - STALL_PICK_UP.freeAfterM);
  rig.troubles.held = false;
  truth.underway = undefined;
  yield* moveTo(rig, from - STALL_PICK_UP.metres, STALL_PICK_UP.mPerMin);
  yield* bringUp(floor);
  truth.phase = expanding;
}

function* lowPressure(floor: Floor, joint: Joint, incident: Incident & { kind: 'low pressure' }): Work {
  const { rig, aim, truth, hydraulics } = floor;
  const recipe = joint.recipe!;
  const good = aim.flow;
  const from = rig.state.endDepth;
  const expanding = truth.phase;
  truth.underway = { kind: 'low pressure', joint };
  aim.flow = flowForRecipe(hydraulics, recipe, recipe.pressureMinKpa * incident.share);
  yield* advance(floor, from + incident.metres);
  aim.flow = good;
  if (incident.repaired) {
    yield* halt(rig);
    truth.phase = 'picking up';
    yield* moveTo(rig, from - REPAIR_LEAD_M, STALL_PICK_UP.mPerMin);
    yield* bringUp(floor);
    truth.phase = expanding;
  } else {
    rig.controls.flowLPerMin = good;
    yield* advance(floor, from + incident.metres + 0.6);
  }
  truth.underway = undefined;
}

function* highPressure(floor: Floor, joint: Joint, incident: Incident & { kind: 'high pressure' }): Work {
  const { rig, aim, truth, hydraulics } = floor;
  const loss = stringLossKpa(hydraulics, aim.flow);
  const clean = standpipeKpa(hydraulics, aim.flow, valveFor(joint.recipe!));
  const wanted = joint.recipe!.pressureMaxKpa * incident.share;
  truth.underway = { kind: 'high pressure', joint };
  rig.troubles.plugging = Math.sqrt((clean - loss) / (wanted - loss));
  yield* advance(floor, rig.state.endDepth + incident.metres);
  rig.troubles.plugging = 1;
  yield* advance(floor, rig.state.endDepth + 0.3);
  truth.underway = undefined;
}

function* rotationLost(floor: Floor, joint: Joint, incident: Incident & { kind: 'rotation lost' }): Work {
  const { rig, aim, truth } = floor;
  const good = aim.rpm;
  truth.underway = { kind: 'rotation lost', joint };
  aim.rpm = 0;
  yield* advance(floor, rig.state.endDepth + incident.metres);
  aim.rpm = good;
  yield* advance(floor, rig.state.endDepth + 0.3);
  truth.underway = undefined;
}

function* fastFeed(floor: Floor, joint: Joint, incident: Incident & { kind: 'fast feed' }): Work {
  const { rig, aim, truth } = floor;
  const good = aim.feed;
  truth.underway = { kind: 'fast feed', joint };
  aim.feed = joint.recipe!.feedMaxMPerMin * incident.share;
  yield* advance(floor, rig.state.endDepth + incident.metres);
  aim.feed = good;
  yield* advance(floor, rig.state.endDepth + 0.1);
  truth.underway = undefined;
}

export function* meetIncident(floor: Floor, joint: Joint, incident: Incident): Work {
  switch (incident.kind) {
    case 'stall':
      return yield* stall(floor, joint, incident);
    case 'low pressure':
      return yield* lowPressure(floor, joint, incident);
    case 'high pressure':
      return yield* highPressure(floor, joint, incident);
    case 'rotation lost':
      return yield* rotationLost(floor, joint, incident);
    case 'fast feed':
      return yield* fastFeed(floor, joint, incident);
    case 'data gap':
      return floor.silence(incident.seconds, joint);
    default:
      return yield* meetPressureIncident(floor, joint, incident);
  }
}
