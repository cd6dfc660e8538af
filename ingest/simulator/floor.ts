/**
 * The rig floor as the driller has it in hand, and the moves that all his work is made of. Written as generators, so
 * that they read in the order of the work; every `yield` lets one time step of the rig pass.
 */
import type { Joint } from '../../src/plan/job.ts';
import { type Hydraulics, standpipeKpa } from './hydraulics.ts';
import { type Rig, SPEED_RAMP, STEP_S } from './rig.ts';
import type { Scenario } from './scenario.ts';
import type { TruthKeeper } from './truth.ts';

export type Work = Generator<undefined, void, undefined>;

/** What the driller means to hold; restored after every stop. */
export interface Aim {
  flow: number;
  rpm: number;
  /** Speed downwards, m/min. */
  feed: number;
}

export interface Floor {
  readonly rig: Rig;
  readonly hydraulics: Hydraulics;
  readonly scenario: Scenario;
  readonly truth: TruthKeeper;
  readonly aim: Aim;
  /** Silences the stream for some seconds; the work goes on. */
  silence(seconds: number, joint: Joint): void;
}

/** Longest wait for pumps and rotation to come up, s. */
const STEADY_WITHIN_S = 90;

export function* wait(seconds: number): Work {
  for (let i = 0; i < Math.round(seconds / STEP_S); i++) yield;
}

export function* waitUntil(holds: () => boolean, withinS = STEADY_WITHIN_S): Work {
  for (let i = 0; i < withinS / STEP_S && !holds(); i++) yield;
}

/** Where the string comes to rest when it is stopped now, seen from where it is, m. */
export const brakingM = (speedMPerMin: number): number => (speedMPerMin * speedMPerMin) / (2 * SPEED_RAMP * 60);

/** Moves the string to an end depth, up or down; no stand is added on the way. */
export function* moveTo(rig: Rig, endDepth: number, mPerMin: number): Work {
  const { state, controls } = rig;
  const sign = Math.sign(endDepth - state.endDepth);
  while ((endDepth - state.endDepth) * sign > brakingM(state.speed)) {
    controls.speedMPerMin = sign * mPerMin;
    yield;
  }
  yield* halt(rig);
}

export function* halt(rig: Rig): Work {
  rig.controls.speedMPerMin = 0;
  yield* waitUntil(() => Math.abs(rig.state.speed) < 1e-6, 20);
}

/** Pumps and rotation to what is aimed at, and a moment to see them steady. */
export function* bringUp({ rig, aim, hydraulics }: Floor): Work {
  rig.controls.flowLPerMin = aim.flow;
  rig.controls.rpm = aim.rpm;
  const high = aim.flow >= hydraulics.shiftsAtLPerMin ? 1 : 0;
  const steady = standpipeKpa(hydraulics, aim.flow, high, rig.troubles.plugging, rig.troubles.leak);
  yield* waitUntil(() => Math.abs(rig.state.pressure - steady) < 0.02 * steady && rig.state.rpm >= aim.rpm - 0.1);
  yield* wait(3);
}
