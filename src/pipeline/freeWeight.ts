/**
 * The weights of the string that moves freely, measured on this run: up, down, and at rest. Only a movement beyond what the
 * string gives elastically is free; readings taken while it turns, hangs in the slips or stands do not count.
 */
import type { Sample } from '../channels.ts';
import { median } from '../engineering/robust.ts';
import { depthTolerance } from './endDepthState.ts';
import { complianceAtHanger } from './hungString.ts';
import type { Run } from './runState.ts';

export interface FreeWeight {
  /** kN; NaN until measured. */
  upKn: number;
  downKn: number;
  restKn: number;
  way: 'up' | 'down' | 'none';
  /** Where the present movement began, and the hookload there. */
  fromDepth: number;
  fromKn: number;
  complianceMPerKn: number;
  lastDepth: number;
  lastMoveMs: number;
  loads: number[];
}

/** Movement beyond the elastic one before the hookload is that of a free string, m; without a string in the plan, in all. */
const FREE_AFTER_M = 0.3;
const FREE_AFTER_UNKNOWN_M = 1.5;
/** A movement that pauses for this long has ended, ms. */
const PAUSE_MS = 10_000;
/** Readings of a movement before its weight counts, and that are kept. */
const ENOUGH_LOADS = 6;
const MOST_LOADS = 60;
const REST_GAIN = 0.1;
/** Above this the string turns, and turning takes drag away (rpm). */
export const TURNS_ABOVE_RPM = 2;

export function createFreeWeight(): FreeWeight {
  return {
    upKn: Number.NaN,
    downKn: Number.NaN,
    restKn: Number.NaN,
    way: 'none',
    fromDepth: Number.NaN,
    fromKn: Number.NaN,
    complianceMPerKn: Number.NaN,
    lastDepth: Number.NaN,
    lastMoveMs: Number.NaN,
    loads: [],
  };
}

export function advanceFreeWeight(state: FreeWeight, run: Run, sample: Sample): void {
  const { depth } = run.endDepth;
  const load = sample.hookload;
  if (Number.isNaN(load)) return;
  if (run.slips.in || sample.rotation > TURNS_ABOVE_RPM) {
    state.way = 'none';
    state.lastDepth = Number.NaN;
    return;
  }
  if (Number.isNaN(state.lastDepth)) begin(state, depth, load, sample.sourceMs);
  const moved = depth - state.lastDepth;
  // Readings finer than this are the jitter of a string at rest.
  if (Math.abs(moved) < Math.max(0.005, 0.6 * depthTolerance(run.endDepth))) {
    if (sample.sourceMs - state.lastMoveMs > PAUSE_MS) {
      state.way = 'none';
      state.restKn = Number.isNaN(state.restKn) ? load : state.restKn + REST_GAIN * (load - state.restKn);
      begin(state, depth, load, state.lastMoveMs);
    }
    return;
  }
  const way = moved < 0 ? 'up' : 'down';
  if (way !== state.way) {
    state.way = way;
    state.loads.length = 0;
    state.fromDepth = state.lastDepth;
    state.complianceMPerKn = complianceAtHanger(run.job, depth);
  }
  state.lastDepth = depth;
  state.lastMoveMs = sample.sourceMs;
  measure(state, depth, load);
}

function begin(state: FreeWeight, depth: number, load: number, atMs: number): void {
  state.fromDepth = depth;
  state.fromKn = load;
  state.lastDepth = depth;
  state.lastMoveMs = atMs;
}

function measure(state: FreeWeight, depth: number, load: number): void {
  if (!isFree(state, depth, load)) return;
  state.loads.push(load);
  if (state.loads.length > MOST_LOADS) state.loads.shift();
  if (state.loads.length < ENOUGH_LOADS) return;
  if (state.way === 'up') state.upKn = median(state.loads);
  else state.downKn = median(state.loads);
}

function isFree(state: FreeWeight, depth: number, load: number): boolean {
  const moved = Math.abs(depth - state.fromDepth);
  if (Number.isNaN(state.complianceMPerKn)) return moved > FREE_AFTER_UNKNOWN_M;
  return moved - Math.abs(load - state.fromKn) * state.complianceMPerKn > FREE_AFTER_M;
}
