/** Troubles of the pressure at the tool: they grow or show, the driller stops, puts them right and goes on. */
import type { Joint } from '../../src/plan/job.ts';
import { advance } from './advance.ts';
import { bringUp, type Floor, halt, type Work, wait, waitUntil } from './floor.ts';
import type { Troubles } from './rig.ts';
import type { Incident } from './scenario.ts';

export type PressureIncident = Extract<
  Incident,
  { kind: 'washout' | 'plugging' | 'pump mismatch' | 'valve not shifted' | 'valve not reset' }
>;

/** A trouble goes on at its worst for this long before the driller stops, s. */
const AT_WORST_S = 60;
/** Pumps off while something is put right, and to bleed off; s. */
const REPAIR_S = 180;
const BLED_OFF_S = 15;
const BLED_OFF_KPA = 200;
/** A valve that fails is looked at for this long, s. */
const LOOKED_AT_S = 90;
/** Flow at which the driller sees whether the valve has gone back, as a share of the one at which it shifts. */
const BACK_FLOW_SHARE = 0.6;

function* pumpsOff(floor: Floor, seconds: number): Work {
  const { rig } = floor;
  yield* halt(rig);
  rig.controls.rpm = 0;
  rig.controls.flowLPerMin = 0;
  yield* waitUntil(() => rig.state.pressure < BLED_OFF_KPA);
  yield* wait(seconds);
}

/** Grows from nothing with every metre; then the driller stops, and it is put right. */
function* growing(floor: Floor, metres: number, worst: (share: number, troubles: Troubles) => void): Work {
  const { rig, truth } = floor;
  const from = rig.state.endDepth;
  for (const _ of advance(floor, from + metres)) {
    worst(Math.min(1, Math.max(0, (rig.state.endDepth - from) / metres)), rig.troubles);
    yield;
  }
  worst(1, rig.troubles);
  yield* halt(rig);
  yield* wait(AT_WORST_S);
  truth.underway = undefined;
  yield* pumpsOff(floor, REPAIR_S);
  worst(0, rig.troubles);
  yield* bringUp(floor);
}

function* valveFails(floor: Floor, kind: 'valve not shifted' | 'valve not reset'): Work {
  const { rig, aim, hydraulics, truth } = floor;
  const { flow } = aim;
  if (kind === 'valve not reset') rig.troubles.valveStuck = true;
  yield* pumpsOff(floor, BLED_OFF_S);
  rig.troubles.valveStuck = true;
  if (kind === 'valve not reset') aim.flow = BACK_FLOW_SHARE * hydraulics.shiftsAtLPerMin;
  rig.controls.flowLPerMin = aim.flow;
  yield* wait(LOOKED_AT_S);
  truth.underway = undefined;
  rig.troubles.valveStuck = false;
  aim.flow = flow;
  yield* pumpsOff(floor, BLED_OFF_S);
  yield* bringUp(floor);
}

export function* meetPressureIncident(floor: Floor, joint: Joint, incident: PressureIncident): Work {
  const { truth } = floor;
  truth.underway = { kind: incident.kind, joint };
  switch (incident.kind) {
    case 'washout':
      return yield* growing(floor, incident.metres, (share, troubles) => {
        troubles.leak = share * incident.share;
      });
    case 'plugging':
      return yield* growing(floor, incident.metres, (share, troubles) => {
        troubles.plugging = 1 - share * (1 - incident.share);
      });
    case 'pump mismatch':
      return yield* growing(floor, incident.metres, (share, troubles) => {
        troubles.delivery = 1 - share * (1 - incident.share);
      });
    default:
      return yield* valveFails(floor, incident.kind);
  }
}
