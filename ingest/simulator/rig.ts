/**
 * The rig as a thing that moves: what the driller asks for goes in, one fine time step comes out. Noise-free; the
 * sensors and the truth both look at this state. Magnitudes without a source are common practice.
 */

import type { Job } from '../../src/plan/job.ts';
import type { ExpandedKind } from '../../src/plan/planSchema.ts';
import type { Engineering } from './engineering.ts';
import { annulusKpa, complianceTo, createHold, type Hold, heldLoadKn, shutKpa, volumeTo } from './hold.ts';
import { type Hydraulics, standpipeKpa, VALVE_FALLS_BACK_AT } from './hydraulics.ts';
import { jointFinder } from './jointFinder.ts';
import { lagged, ramped } from './responses.ts';
import { pressedM, type ShearDevice, slackOff, standsOn } from './shearDevice.ts';
import { buoyedWeightKn } from './stringWeight.ts';

/** Length of one time step, s; the truth is worked out at this step too. */
export const STEP_S = 0.1;
export const STEP_MS = 100;

/** What the driller asks for. */
export interface Controls {
  /** Speed of the string out of slips, m/min, down positive. */
  speedMPerMin: number;
  flowLPerMin: number;
  rpm: number;
  slips: 'out' | 'in';
  /** Speed of the empty block while in slips, m/min, up positive. */
  blockMPerMin: number;
  /** Torque of a stand being made up in slips, kN·m. */
  makeUpKnm: number;
}

/** What the well does to him. */
export interface Troubles {
  /** The rollers are held: no feed, hardly any rotation. */
  held: boolean;
  /** Share of the nozzle area that is left. */
  plugging: number;
  /** Share of the flow that leaves the string above the nozzles. */
  leak: number;
  /** Of what the strokes say the pumps deliver. */
  delivery: number;
  /** The valve stays where it is. */
  valveStuck: boolean;
  /** What the string may come to stand on, until it shears. */
  device: ShearDevice | undefined;
}

export interface RigState {
  timeMs: number;
  endDepth: number;
  block: number;
  /** Speed of the string that was really made in this step, m/min, down positive; 0 in slips. */
  speed: number;
  flow: number;
  /** 0 low path, 1 high path. */
  valve: number;
  pressure: number;
  rpm: number;
  torque: number;
  hookload: number;
  /** Load below the hook before the sensor's lag, kN; 0 in slips. */
  belowHookKn: number;
  setDown: number;
  /** What the set-down presses the string together: the surface sees the end so much deeper, and the block so much lower, m. */
  pressedM: number;
  strokes: number;
  annulus: number;
  rolling: ExpandedKind | null;
}

export interface Rig {
  readonly state: RigState;
  readonly controls: Controls;
  readonly troubles: Troubles;
  readonly hold: Hold;
  readonly setUp: RigSetUp;
  readonly job: Job;
  readonly blockWeightKn: number;
  step(): void;
}

export interface RigSetUp {
  readonly job: Job;
  readonly engineering: Engineering;
  readonly hydraulics: Hydraulics;
  readonly startMs: number;
  readonly endDepth: number;
  readonly block: number;
  readonly blockWeightKn: number;
  /** Weight of the liner that hangs on the string at the start, kN. */
  readonly linerKn: number;
  /** Whether set-down presses the string together as the surface sees it; the end depth is that of the tools throughout. */
  readonly gives: boolean;
  /** Phases of the feed's ripple, radians. */
  readonly ripplePhases: readonly [number, number];
}

/** m/min each second. */
export const SPEED_RAMP = 1.8;
export const BLOCK_RAMP = 6;
/** L/min each second. */
const PUMP_RAMP = 60;
const PUMP_LAG_S = 1;
const VALVE_LAG_S = 1;
const PRESSURE_LAG_S = 1.2;
const RPM_RAMP = 4;
const HELD_RPM_RAMP = 9;
/** Rotation that is left while the rollers are held. */
const HELD_RPM_SHARE = 0.12;
const TORQUE_LAG_S = 0.6;
const HOOK_LAG_S = 0.7;
/** The brake of the drawworks ripples the feed by at most these shares, at these periods. */
const RIPPLE = [
  { share: 0.045, periodS: 7.3 },
  { share: 0.025, periodS: 2.9 },
] as const;
/** Drag as a share of the hanging weight: still string, and while it rotates. */
const DRAG = { up: 0.08, down: 0.06, rotatingShare: 0.2 } as const;
/** Set-down on the rollers while they are fed, and how it grows when they are held. */
const SET_DOWN = { rollingKn: 18, heldKnPerS: 1.2, heldMostKn: 70, lagS: 2 } as const;
/** Shares of the recipe's torque bound: free rotation, rolling, and what the drive gives when held. */
const TORQUE = { free: 0.3, rolling: 0.32, held: 0.9, boundWhenNone: 14 } as const;
export const LITRES_PER_STROKE = 16.2;
/** Below this share of its recipe's minimum pressure a roller does not push. */
const ROLLS_ABOVE = 0.6;

/** The kind of joint that a tool is rolling now. While the valve stands on the high path only isolation tools push. */
function rollingNow(rig: RigState, job: Job, near: ReturnType<typeof jointFinder>): ExpandedKind | null {
  if (rig.rpm < 1) return null;
  for (const tool of job.tools) {
    const depth = rig.endDepth - tool.offsetM;
    for (const { recipe, from, to } of near(depth)) {
      if (!recipe?.tools.includes(tool.index) || depth < from || depth >= to) continue;
      if (rig.pressure < ROLLS_ABOVE * Math.max(0, recipe.pressureMinKpa)) continue;
      if (recipe.kind === 'screen' && rig.valve > 0.5) continue;
      return recipe.kind;
    }
  }
  return null;
}

/** The smallest torque bound of the plan, so that free rotation stays well inside every recipe. */
function torqueBound(job: Job): number {
  const bounds = [job.recipes.isolation, job.recipes.screen].map((recipe) => recipe?.torqueMaxKnm ?? Infinity);
  const least = Math.min(...bounds);
  return Number.isFinite(least) ? least : TORQUE.boundWhenNone;
}

/** What moves inside and is nobody else's business. */
interface Drives {
  /** String speed before the ripple, m/min. */
  commanded: number;
  blockSpeed: number;
  /** Flow before the pumps' own lag, L/min. */
  pumped: number;
  valveHigh: boolean;
}

/** The rig with everything that a step needs. */
interface Works extends Rig {
  readonly drives: Drives;
  readonly torqueBoundKnm: number;
  readonly near: ReturnType<typeof jointFinder>;
}

export function createRig(setUp: RigSetUp): Rig {
  const { job, engineering, blockWeightKn } = setUp;
  const works: Works = {
    setUp,
    job,
    blockWeightKn,
    torqueBoundKnm: torqueBound(job),
    near: jointFinder(job),
    drives: { commanded: 0, blockSpeed: 0, pumped: 0, valveHigh: false },
    controls: { speedMPerMin: 0, flowLPerMin: 0, rpm: 0, slips: 'out', blockMPerMin: 0, makeUpKnm: 0 },
    troubles: { held: false, plugging: 1, leak: 0, delivery: 1, valveStuck: false, device: undefined },
    hold: createHold(setUp.linerKn),
    state: {
      timeMs: setUp.startMs,
      endDepth: setUp.endDepth,
      block: setUp.block,
      speed: 0,
      flow: 0,
      valve: 0,
      pressure: 0,
      rpm: 0,
      torque: 0,
      hookload: blockWeightKn + buoyedWeightKn(engineering, setUp.endDepth) + setUp.linerKn,
      belowHookKn: buoyedWeightKn(engineering, setUp.endDepth) + setUp.linerKn,
      setDown: 0,
      pressedM: 0,
      strokes: 0,
      annulus: 0,
      rolling: null,
    },
    step(): void {
      works.state.timeMs += STEP_MS;
      if (works.controls.slips === 'in') moveBlock(works);
      else moveString(works);
      pump(works);
      rotate(works);
      hang(works);
    },
  };
  return works;
}

function moveBlock({ state, controls, drives }: Works): void {
  drives.commanded = 0;
  state.speed = 0;
  drives.blockSpeed = ramped(drives.blockSpeed, controls.blockMPerMin, STEP_S, BLOCK_RAMP);
  state.block += (drives.blockSpeed * STEP_S) / 60;
}

function moveString({ state, controls, troubles, drives, setUp, job }: Works): void {
  drives.blockSpeed = 0;
  const isHeld = troubles.held && controls.speedMPerMin > 0;
  drives.commanded = ramped(drives.commanded, isHeld ? 0 : controls.speedMPerMin, STEP_S, SPEED_RAMP);
  const seconds = (state.timeMs - setUp.startMs) / 1000;
  let ripple = 1;
  RIPPLE.forEach((wave, i) => {
    ripple += wave.share * Math.sin((2 * Math.PI * seconds) / wave.periodS + setUp.ripplePhases[i]!);
  });
  state.speed = drives.commanded * ripple;
  const metres = (state.speed * STEP_S) / 60;
  if (standsOn(troubles.device, state.endDepth)) slackOff(state, job, troubles.device, metres);
  else {
    state.endDepth += metres;
    state.block -= metres;
  }
}

function pump({ state, controls, troubles, drives, setUp, hold, job }: Works): void {
  const { hydraulics } = setUp;
  drives.pumped = ramped(drives.pumped, controls.flowLPerMin, STEP_S, PUMP_RAMP);
  state.flow = lagged(state.flow, drives.pumped, STEP_S, PUMP_LAG_S);
  const shifts = hydraulics.shiftsAtLPerMin;
  if (!troubles.valveStuck) drives.valveHigh = state.flow >= (drives.valveHigh ? shifts * VALVE_FALLS_BACK_AT : shifts);
  state.valve = lagged(state.valve, drives.valveHigh ? 1 : 0, STEP_S, VALVE_LAG_S);
  if (hold.shut) {
    state.pressure = shutKpa(hold, state.pressure, state.flow, volumeTo(job, state.endDepth, state.endDepth), STEP_S);
  } else {
    const open = troubles.plugging * hold.areaFactor;
    const steady = standpipeKpa(hydraulics, state.flow, state.valve, open, troubles.leak);
    state.pressure = lagged(state.pressure, steady, STEP_S, PRESSURE_LAG_S);
  }
  state.annulus = annulusKpa(hold, state.annulus, STEP_S);
  state.strokes += (state.flow * STEP_S) / 60 / LITRES_PER_STROKE / troubles.delivery;
}

function rotate({ state, controls, troubles, job, near, torqueBoundKnm }: Works): void {
  const wanted = troubles.held ? controls.rpm * HELD_RPM_SHARE : controls.rpm;
  state.rpm = ramped(state.rpm, wanted, STEP_S, troubles.held ? HELD_RPM_RAMP : RPM_RAMP);
  state.rolling = rollingNow(state, job, near);
  let torque = 0;
  if (controls.slips === 'in') torque = controls.makeUpKnm;
  else if (troubles.held) torque = torqueBoundKnm * TORQUE.held;
  else if (state.rpm > 0.5) torque = torqueBoundKnm * (TORQUE.free + (state.rolling ? TORQUE.rolling : 0));
  state.torque = lagged(state.torque, torque, STEP_S, TORQUE_LAG_S);
}

/** Drag works against the movement; rotation takes most of it away. */
function dragKn({ speed, rpm }: RigState, weight: number): number {
  const left = rpm > 1 ? DRAG.rotatingShare : 1;
  if (speed < -0.05) return weight * DRAG.up * left;
  if (speed > 0.05) return -weight * DRAG.down * left;
  return 0;
}

/** Where the liner is held, m. */
const hangerTop = (job: Job): number => (job.joints.find(({ kind }) => kind === 'hanger') ?? job.joints[0]!).top;

function hang({ state, controls, troubles, blockWeightKn, setUp, hold, job }: Works): void {
  const isFeeding = state.rolling !== null && state.speed > 0;
  if (troubles.held && controls.speedMPerMin > 0) {
    state.setDown = Math.min(SET_DOWN.heldMostKn, state.setDown + SET_DOWN.heldKnPerS * STEP_S);
  } else if (!standsOn(troubles.device, state.endDepth)) {
    state.setDown = lagged(state.setDown, isFeeding ? SET_DOWN.rollingKn : 0, STEP_S, SET_DOWN.lagS);
  }
  const weight = buoyedWeightKn(setUp.engineering, state.endDepth) + hold.linerKn;
  let below = controls.slips === 'in' ? 0 : weight + dragKn(state, weight) - state.setDown;
  if (hold.fixed) {
    const compliance = complianceTo(job, state.endDepth, hangerTop(job));
    below = heldLoadKn(hold, state.endDepth, compliance, hold.fixed.kn * DRAG.up);
  }
  state.belowHookKn = below;
  if (setUp.gives) state.pressedM = controls.slips === 'in' ? 0 : pressedM(state, job);
  state.hookload = lagged(state.hookload, blockWeightKn + below, STEP_S, HOOK_LAG_S);
}
