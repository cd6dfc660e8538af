/**
 * Pack-off: at the same flow the pressure rises, and torque and drag with it; flow out falls. Readings of the last seconds are
 * held against those of the last minutes, as long as flow, rotation and work have stayed what they were.
 */
import type { Sample } from '../channels.ts';

/** Common practice, none of them a limit of anything: starting points to tell the signature by. */
const PRESSURE_RISE = 0.08;
const TORQUE_RISE = 0.12;
/** Change of the hookload as a share of it, and at the least, kN. */
const HOOK_CHANGE = 0.015;
const HOOK_LEAST_KN = 8;
const FLOW_OUT_FALL = 0.03;
/** Flow in within this share is the same flow. */
const SAME_FLOW = 0.05;
const PUMPED_L_PER_MIN = 60;
const TURNING_RPM = 5;
const QUICK_MS = 8_000;
const SLOW_MS = 120_000;
/** The usual readings are known after so long of the same work, ms. */
const KNOWN_MS = 90_000;
/** At first the usual readings follow quickly: pumps and rotation have only just come up, ms. */
const SETTLES_MS = 45_000;
/** A pressure up by this share of its threshold is no longer taken into the usual one. */
const SUSPECT = 0.4;
const LONGEST_MS = 10_000;
/** Bands of flow, on its logarithm, from 60 L/min up. */
const BAND = 0.12;
const BANDS = 64;

interface Level {
  quick: number;
  slow: number;
}

export interface PackOff {
  atMs: number;
  sinceMs: number;
  /** What must stay the same: twice the index of the joint at work, one more while the string turns. */
  work: number;
  flow: number;
  pressure: Level;
  torque: Level;
  hookload: Level;
  flowOut: Level;
  flowOutMoved: boolean;
  /** Highest usual pressure over flow squared so far, by band of flow, kPa/(L/min)²: coming back to it is no rise. */
  highs: number[];
  /** Rise of the pressure as a share while the whole signature stands, else 0. */
  rise: number;
}

const level = (): Level => ({ quick: Number.NaN, slow: Number.NaN });

export function createPackOff(): PackOff {
  return {
    atMs: Number.NaN,
    sinceMs: Number.NaN,
    work: Number.NaN,
    flow: Number.NaN,
    pressure: level(),
    torque: level(),
    hookload: level(),
    flowOut: level(),
    flowOutMoved: false,
    highs: new Array<number>(BANDS).fill(0),
    rise: 0,
  };
}

function forget(one: Level): void {
  one.quick = Number.NaN;
  one.slow = Number.NaN;
}

function restart(state: PackOff, atMs: number, work: number, flow: number): void {
  state.sinceMs = atMs;
  state.work = work;
  state.flow = flow;
  forget(state.pressure);
  forget(state.torque);
  forget(state.hookload);
  forget(state.flowOut);
  state.flowOutMoved = false;
  state.rise = 0;
}

function follow(one: Level, value: number, quick: number, slow: number): void {
  if (Number.isNaN(value)) return;
  one.quick = Number.isNaN(one.quick) ? value : one.quick + quick * (value - one.quick);
  one.slow = Number.isNaN(one.slow) ? value : one.slow + slow * (value - one.slow);
}

/** Works one sample in. `joint`: index at work, -1 for none; `flowOut` in any unit, NaN: not read; `goesDown`: the string does. */
export function advancePackOff(
  state: PackOff,
  sample: Sample,
  joint: number,
  inSlips: boolean,
  flowOut: number,
  goesDown: boolean,
): void {
  const { sourceMs, flowIn } = sample;
  if (Number.isNaN(flowIn)) return;
  const passed = Math.min(LONGEST_MS, sourceMs - state.atMs);
  const held = sourceMs - state.atMs <= 2 * LONGEST_MS;
  state.atMs = sourceMs;
  const turning = sample.rotation > TURNING_RPM;
  const work = 2 * joint + (turning ? 1 : 0);
  const same = held && work === state.work && Math.abs(flowIn - state.flow) <= SAME_FLOW * state.flow;
  if (!same || inSlips || !turning || flowIn < PUMPED_L_PER_MIN) {
    if (state.sinceMs !== sourceMs) restart(state, sourceMs, work, flowIn);
    return;
  }
  const quick = passed / (QUICK_MS + passed);
  const suspect = state.pressure.quick > (1 + SUSPECT * PRESSURE_RISE) * state.pressure.slow;
  const age = sourceMs - state.sinceMs;
  const slow = age < SETTLES_MS ? quick : suspect && age >= KNOWN_MS ? 0 : passed / (SLOW_MS + passed);
  if (flowOut !== state.flowOut.quick && state.flowOut.quick > 0) state.flowOutMoved = true;
  follow(state.pressure, sample.standpipePressure, quick, slow);
  follow(state.torque, sample.torque, quick, slow);
  follow(state.hookload, sample.hookload, quick, slow);
  follow(state.flowOut, flowOut, quick, slow);
  state.rise = age >= KNOWN_MS ? signature(state, goesDown) : 0;
}

/** The pressure that is usual at this flow, kPa: now, or at any time before. */
function usualKpa(state: PackOff): number {
  const band = Math.min(BANDS - 1, Math.floor(Math.log(state.flow / PUMPED_L_PER_MIN) / BAND));
  const squared = state.flow * state.flow;
  state.highs[band] = Math.max(state.highs[band]!, state.pressure.slow / squared);
  return state.highs[band]! * squared;
}

function signature(state: PackOff, goesDown: boolean): number {
  const { pressure, torque, hookload, flowOut } = state;
  const rise = pressure.quick / usualKpa(state) - 1;
  if (!(rise > PRESSURE_RISE) || !(torque.quick > (1 + TORQUE_RISE) * torque.slow)) return 0;
  // Drag takes from the hook on the way down, and adds to it on the way up.
  const drag = hookload.quick - hookload.slow;
  const least = Math.max(HOOK_LEAST_KN, HOOK_CHANGE * hookload.slow);
  if (!(drag > least || (goesDown && drag < -least))) return 0;
  if (state.flowOutMoved && !(flowOut.quick < (1 - FLOW_OUT_FALL) * flowOut.slow)) return 0;
  return rise;
}
