/**
 * A stall: the tool rolls and does not get deeper. Standing still is none when the driller has let off: pressure down, or no
 * torque left on the tool. It is rotational where the rotation has been brought nearly to a stop under torque, axial where the
 * tool turns on.
 */
import type { EventForm } from '../events.ts';
import type { Recipe } from '../plan/job.ts';

export interface Stall {
  /** Metres gained beyond what the slowest feed would give, and the lowest that this has been since the last advance. */
  gained: number;
  lowest: number;
  depth: number;
  /** Depth of the last advance: well above it, the tool has been lifted. */
  deepest: number;
  atMs: number;
  /** When the last advance ended. */
  advancedMs: number;
  /** Since when the tool has been rolling without a break, NaN while it is not. */
  rollingMs: number;
  /** Since when the driller seems to have let off, NaN while the tool rolls. */
  letOffMs: number;
  /** Torque now, kN·m, smoothed; NaN until known. */
  torque: number;
  /** Torque while rolling and advancing, kN·m, smoothed; NaN until known. */
  rollingTorque: number;
  /** Rotation while rolling and advancing, rpm, smoothed; NaN until known. */
  rollingRotation: number;
  /** Readings in a row that show the rotation held, and the form in which it stalls; empty: cannot be told, or no stall. */
  heldReadings: number;
  form: EventForm | '';
}

/** A pressure that a stall has pulled down a little is still pressure on the tool, share of the minimum. */
const PRESSED_SHARE = 0.9;
/** A stalled tool holds at least this share of the torque it rolls with; a driller who stops feeding lets it fall. */
const HELD_SHARE = 0.75;
/** Torque is judged smoothed over a few readings: stick-slip swings it. */
const HOLDING_GAIN = 0.3;
/** Letting off is believed after this long, ms. */
const LET_OFF_MS = 4_000;
const TORQUE_GAIN = 0.03;
/** Below this share of the rotation that it rolled with, it is held (common practice); one odd reading is not. */
const HELD_ROTATION_SHARE = 0.2;
const HELD_READINGS = 2;

export function createStall(): Stall {
  return {
    gained: 0,
    lowest: 0,
    depth: Number.NaN,
    deepest: Number.NaN,
    atMs: Number.NaN,
    advancedMs: Number.NaN,
    rollingMs: Number.NaN,
    letOffMs: Number.NaN,
    torque: Number.NaN,
    rollingTorque: Number.NaN,
    rollingRotation: Number.NaN,
    heldReadings: 0,
    form: '',
  };
}

export function restartStall(state: Stall): void {
  state.depth = Number.NaN;
  state.rollingMs = Number.NaN;
  state.form = '';
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
  const advanced = hasAdvanced(state, atMs, depth, tolerance, slowest);
  const lifted = depth < state.deepest - tolerance;
  if (advanced || lifted) state.deepest = depth;
  const rolling = recipe !== undefined && isRolling(state, recipe, pressure, rotation, torque);
  if (rolling || Number.isNaN(state.rollingMs)) state.letOffMs = Number.NaN;
  else if (Number.isNaN(state.letOffMs)) state.letOffMs = atMs;
  // One odd reading is no letting off.
  if (!recipe || lifted || (!rolling && !(atMs - state.letOffMs < LET_OFF_MS))) {
    state.rollingMs = Number.NaN;
    state.form = '';
    return Number.NaN;
  }
  if (Number.isNaN(state.rollingMs)) state.rollingMs = atMs;
  if (advanced && torque > 0 && (rotation >= recipe.rpmMin || Number.isNaN(rotation))) {
    state.rollingTorque = Number.isNaN(state.rollingTorque)
      ? torque
      : state.rollingTorque + TORQUE_GAIN * (torque - state.rollingTorque);
  }
  learnForm(state, recipe, rotation, advanced);
  if (advanced) return Number.NaN;
  const sinceMs = Math.max(state.advancedMs, state.rollingMs);
  // Time in which the driller seems to have let off does not count: pumps that are run down slowly would make a stall of it.
  return rolling ? sinceMs : sinceMs + (atMs - state.letOffMs);
}

function learnForm(state: Stall, recipe: Recipe, rotation: number, advanced: boolean): void {
  if (advanced) {
    state.form = '';
    state.heldReadings = 0;
    if (rotation >= Math.max(1, recipe.rpmMin)) {
      const before = Number.isNaN(state.rollingRotation) ? rotation : state.rollingRotation;
      state.rollingRotation = before + TORQUE_GAIN * (rotation - before);
    }
    return;
  }
  if (Number.isNaN(rotation)) return;
  const usual = Number.isNaN(state.rollingRotation) ? Math.max(1, recipe.rpmMin) : state.rollingRotation;
  state.heldReadings = rotation < HELD_ROTATION_SHARE * usual ? state.heldReadings + 1 : 0;
  if (state.heldReadings >= HELD_READINGS) state.form = 'rotational';
  else if (state.form === '' && state.heldReadings === 0) state.form = 'axial';
}

/** A cumulative sum as in feedProof.ts: a rise of more than the tolerance above its lowest point is an advance. */
function hasAdvanced(state: Stall, atMs: number, depth: number, tolerance: number, slowest: number): boolean {
  if (Number.isNaN(state.depth)) {
    state.gained = 0;
    state.lowest = 0;
    state.deepest = depth;
    state.advancedMs = atMs;
  } else state.gained += depth - state.depth - (slowest * (atMs - state.atMs)) / 60_000;
  state.depth = depth;
  state.atMs = atMs;
  if (state.gained < state.lowest) state.lowest = state.gained;
  if (!(state.gained - state.lowest > tolerance)) return false;
  state.lowest = state.gained;
  state.advancedMs = atMs;
  return true;
}

function isRolling(state: Stall, recipe: Recipe, pressure: number, rotation: number, torque: number): boolean {
  if (recipe.pressureMinKpa > 0 && !(pressure >= PRESSED_SHARE * recipe.pressureMinKpa)) return false;
  if (!Number.isNaN(torque)) {
    state.torque = Number.isNaN(state.torque) ? torque : state.torque + HOLDING_GAIN * (torque - state.torque);
    if (state.rollingTorque > 0) return state.torque >= HELD_SHARE * state.rollingTorque;
  }
  return recipe.rpmMin === -Infinity || Number.isNaN(rotation) || rotation >= recipe.rpmMin;
}
