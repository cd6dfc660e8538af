/**
 * A stall: the tool rolls and does not get deeper. Standing still is none when the driller has let off: pressure down, or
 * rotation stopped without torque left on it.
 */
import type { Recipe } from '../plan/job.ts';

export interface Stall {
  anchorDepth: number;
  anchorMs: number;
  /** Since when the tool has been rolling without a break, NaN while it is not. */
  rollingMs: number;
  /** Torque while rolling and advancing, kN·m, smoothed; NaN until known. */
  rollingTorque: number;
}

/** A pressure that a stall has pulled down a little is still pressure on the tool, share of the minimum. */
const PRESSED_SHARE = 0.9;
/** Torque of at least this share of the rolling torque holds a tool that no longer turns. */
const HELD_SHARE = 0.8;
const TORQUE_GAIN = 0.03;

export function createStall(): Stall {
  return { anchorDepth: Number.NaN, anchorMs: Number.NaN, rollingMs: Number.NaN, rollingTorque: Number.NaN };
}

export function restartStall(state: Stall): void {
  state.anchorDepth = Number.NaN;
  state.rollingMs = Number.NaN;
}

/**
 * Works one sample in and returns since when the tool stalls, ms, NaN for not at all. `recipe`: of the joint at whose open
 * edge the tool is, undefined elsewhere. `slowest`: feed below which it counts, m/min. `tolerance` as in `Motion`.
 */
export function advanceStall(
  state: Stall,
  atMs: number,
  depth: number,
  tolerance: number,
  recipe: Recipe | undefined,
  pressure: number,
  rotation: number,
  torque: number,
  slowest: number,
): number {
  const allowed = (slowest * (atMs - state.anchorMs)) / 60_000 + tolerance;
  const advanced = !(depth - state.anchorDepth <= allowed);
  const lifted = depth < state.anchorDepth - tolerance;
  if (advanced || lifted) {
    state.anchorDepth = depth;
    state.anchorMs = atMs;
  }
  if (!recipe || lifted || !isRolling(state, recipe, pressure, rotation, torque)) {
    state.rollingMs = Number.NaN;
    return Number.NaN;
  }
  if (Number.isNaN(state.rollingMs)) state.rollingMs = atMs;
  if (advanced && torque > 0 && (rotation >= recipe.rpmMin || Number.isNaN(rotation))) {
    state.rollingTorque = Number.isNaN(state.rollingTorque)
      ? torque
      : state.rollingTorque + TORQUE_GAIN * (torque - state.rollingTorque);
  }
  return advanced ? Number.NaN : Math.max(state.anchorMs, state.rollingMs);
}

function isRolling(state: Stall, recipe: Recipe, pressure: number, rotation: number, torque: number): boolean {
  if (recipe.pressureMinKpa > 0 && !(pressure >= PRESSED_SHARE * recipe.pressureMinKpa)) return false;
  if (recipe.rpmMin === -Infinity || Number.isNaN(rotation) || rotation >= recipe.rpmMin) return true;
  return torque >= HELD_SHARE * state.rollingTorque;
}
