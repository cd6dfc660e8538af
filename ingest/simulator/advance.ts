import { addStand } from './addStand.ts';
import type { Floor, Work } from './floor.ts';

/** Lowers the string to an end depth at the aimed feed, adding stands where the block runs out. Stops only there. */
export function* advance(floor: Floor, endDepth: number): Work {
  const { rig, aim, scenario } = floor;
  const { state, controls } = rig;
  while (state.endDepth < endDepth) {
    if (state.block <= scenario.rig.blockLow) yield* addStand(floor);
    controls.speedMPerMin = aim.feed;
    controls.flowLPerMin = aim.flow;
    controls.rpm = aim.rpm;
    yield;
  }
}
