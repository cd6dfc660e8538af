/** A stand connection: pick up, stop, set slips, fetch and make up a stand, out of slips, back to work. */
import { bringUp, type Floor, moveTo, type Work, wait, waitUntil } from './floor.ts';
import { BLOCK_RAMP } from './rig.ts';

/** Lengths and speeds of a usual stand connection, common practice. */
const PICK_UP_M = 0.6;
const SET_DOWN_TO_SLIPS_M = 0.3;
const OUT_OF_SLIPS_M = 0.2;
const SLOW_M_PER_MIN = 2;
const BLOCK_M_PER_MIN = 22;
/** How far the block runs on when it is stopped. */
const BLOCK_RUN_ON_M = (BLOCK_M_PER_MIN * BLOCK_M_PER_MIN) / (2 * BLOCK_RAMP * 60);
const BREAK_OUT_S = 35;
const MAKE_UP = { latchS: 40, knm: 11, rpm: 12, spinS: 12, torqueS: 8 } as const;

export function* addStand(floor: Floor): Work {
  const { rig, truth, scenario } = floor;
  const { state, controls } = rig;
  const before = { phase: truth.phase, underway: truth.underway };
  truth.underway = undefined;
  controls.speedMPerMin = 0;
  yield* waitUntil(() => Math.abs(state.speed) < 1e-6, 20);
  yield* moveTo(rig, state.endDepth - PICK_UP_M, SLOW_M_PER_MIN);
  controls.rpm = 0;
  controls.flowLPerMin = 0;
  yield* waitUntil(() => state.rpm === 0 && state.pressure < 200);
  yield* moveTo(rig, state.endDepth + SET_DOWN_TO_SLIPS_M, SLOW_M_PER_MIN);
  yield* wait(2);

  controls.slips = 'in';
  truth.phase = 'making connection';
  truth.connections++;
  yield* wait(BREAK_OUT_S);
  const top = state.block + scenario.rig.standLength;
  controls.blockMPerMin = BLOCK_M_PER_MIN;
  yield* waitUntil(() => state.block >= top - BLOCK_RUN_ON_M, 600);
  controls.blockMPerMin = 0;
  yield* wait(6);
  yield* wait(MAKE_UP.latchS);
  controls.rpm = MAKE_UP.rpm;
  controls.makeUpKnm = MAKE_UP.knm * 0.2;
  yield* wait(MAKE_UP.spinS);
  controls.rpm = 0;
  controls.makeUpKnm = MAKE_UP.knm;
  yield* wait(MAKE_UP.torqueS);
  controls.makeUpKnm = 0;
  yield* wait(10);

  controls.slips = 'out';
  yield* wait(2);
  yield* moveTo(rig, state.endDepth - OUT_OF_SLIPS_M, SLOW_M_PER_MIN);
  yield* bringUp(floor);
  truth.phase = before.phase;
  truth.underway = before.underway;
}
