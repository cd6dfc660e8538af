/**
 * Whether the string hangs in the slips.
 *
 * S1 Hookload at the weight of the block is the evidence; the level between block and string weight decides, with
 *    different levels for entering and leaving.
 * S2 The block's weight comes from the plan where it fits the readings, else it is learnt in the slips.
 * S3 The block moving while the end depth stands is slips, whatever the hookload (its sensor may be dead).
 * S4 The source's own flag is believed while the string does not move under it.
 * S5 Between slips that begin and slips that are recognised the string may hang in either: the hookload has dropped, and
 *    nothing speaks against it.
 */

import { canMove } from './blockSpeed.ts';

/** What the string hangs on, as far as one can tell. */
export type Hanging = 'block' | 'slips' | 'either';

export interface Slips {
  in: boolean;
  /** This stay in the slips has been proven by more than the hookload. */
  proven: boolean;
  /** Out of slips by all that is known, but the string may hang in them already. */
  doubtful: boolean;
  sinceMs: number;
  /** Hookload of the travelling equipment alone, kN; NaN until known. */
  blockWeight: number;
  blockWeightLearnt: boolean;
  /** Level of the hookload out of slips, kN; NaN until known. */
  stringLevel: number;
  /** Depth and block when the string came to stand or the block last moved with it. */
  standDepth: number;
  standBlock: number;
  /** The last hookload was that of the block alone. */
  wasLow: boolean;
  lastBlock: number;
  lastMs: number;
  flagBelieved: boolean;
  flagDepth: number;
}

/** Shares of the way from block weight to string level. */
const ENTER_SHARE = 0.25;
const LEAVE_SHARE = 0.5;
/** Of the string level, while the block's weight is not known (common practice: block well under half the hookload). */
const ENTER_UNKNOWN = 0.45;
const LEAVE_UNKNOWN = 0.6;
/** Block travel over a standing string that proves the slips, m. */
const BLOCK_ALONE_M = 1.0;
/** And how much further it must go to prove them again: more than it moves while it takes up the string, m. */
const BLOCK_AGAIN_M = 0.25;
/** Movement of the string under a flag that says "in slips" after which the flag is no longer believed, m. */
const FLAG_CONTRADICTED_M = 0.5;
/** A hookload that has not dropped by this share is that of the string: then it is the depth reading that is dead. */
const UNDROPPED_SHARE = 0.96;
/** The level of the string follows readings near it, creeps after others down, and never leaps up after a spike. */
const LEVEL_GAIN = 0.05;
const LEVEL_NEAR = 0.05;
const LEVEL_CREEP = 0.001;
const LEVEL_RISE = 0.1;
const WEIGHT_GAIN = 0.1;
/** Of a hookload that may be that of the string: taking up its weight must not be learnt, a wrong first weight must be. */
const WEIGHT_CREEP = 0.01;

export function createSlips(plannedBlockWeight: number | undefined): Slips {
  return {
    in: false,
    proven: false,
    doubtful: false,
    sinceMs: Number.NaN,
    blockWeight: plannedBlockWeight ?? Number.NaN,
    blockWeightLearnt: false,
    stringLevel: Number.NaN,
    standDepth: Number.NaN,
    standBlock: Number.NaN,
    wasLow: true,
    lastBlock: Number.NaN,
    lastMs: Number.NaN,
    flagBelieved: true,
    flagDepth: Number.NaN,
  };
}

/** A stretch without data: what stood then proves nothing now. */
export function restartSlips(state: Slips): void {
  state.standDepth = Number.NaN;
  state.standBlock = Number.NaN;
}

type Evidence = 'in' | 'out' | 'unclear';

function byHookload(state: Slips, hookload: number): Evidence {
  const level = state.stringLevel;
  if (Number.isNaN(hookload)) return 'unclear';
  const weight = state.blockWeight;
  if (Number.isNaN(level)) {
    // The first reading of a run: only a known block weight can tell.
    return weight > 0 && hookload < 1.1 * weight && hookload > 0.5 * weight ? 'in' : 'out';
  }
  const known = weight > 0 && weight < 0.9 * level;
  const enter = known ? weight + ENTER_SHARE * (level - weight) : ENTER_UNKNOWN * level;
  const leave = known ? weight + LEAVE_SHARE * (level - weight) : LEAVE_UNKNOWN * level;
  if (hookload < enter) return 'in';
  return hookload > leave ? 'out' : 'unclear';
}

/** The block travelling over a standing string. Needs the reported depth, not the one worked out from the block. */
function byBlock(state: Slips, atMs: number, reportedDepth: number, block: number, step: number): Evidence {
  if (Number.isNaN(reportedDepth) || Number.isNaN(block)) return 'unclear';
  // A reading that has leapt is a spike: it proves nothing, nor does the way back.
  const leapt = !canMove(block - state.lastBlock, atMs - state.lastMs);
  state.lastBlock = block;
  state.lastMs = atMs;
  if (leapt) return 'unclear';
  if (!(Math.abs(reportedDepth - state.standDepth) <= 1.5 * step)) {
    const moved = !Number.isNaN(state.standDepth);
    state.standDepth = reportedDepth;
    state.standBlock = block;
    return moved ? 'out' : 'unclear';
  }
  const alone = block - state.standBlock;
  if (!(Math.abs(alone) > BLOCK_ALONE_M)) return 'unclear';
  // The block drags its mark along: once it stands again it proves nothing any more.
  state.standBlock = block - Math.sign(alone) * (BLOCK_ALONE_M - BLOCK_AGAIN_M);
  return 'in';
}

function byFlag(state: Slips, flag: number, depth: number): Evidence {
  if (Number.isNaN(flag) || !state.flagBelieved) return 'unclear';
  if (flag === 0) {
    state.flagDepth = Number.NaN;
    return 'out';
  }
  if (Number.isNaN(state.flagDepth)) state.flagDepth = depth;
  if (Math.abs(depth - state.flagDepth) > FLAG_CONTRADICTED_M) {
    state.flagBelieved = false;
    return 'unclear';
  }
  return 'in';
}

function learnLevels(state: Slips, hookload: number, load: Evidence): void {
  if (Number.isNaN(hookload)) return;
  if (state.in) {
    if (!state.proven || !(hookload <= UNDROPPED_SHARE * state.stringLevel)) return;
    const gain = load === 'out' ? WEIGHT_CREEP : WEIGHT_GAIN;
    state.blockWeight = state.blockWeightLearnt ? state.blockWeight + gain * (hookload - state.blockWeight) : hookload;
    state.blockWeightLearnt = true;
    return;
  }
  if (Number.isNaN(state.stringLevel)) state.stringLevel = hookload;
  else state.stringLevel += levelStep(hookload - state.stringLevel, state.stringLevel);
}

function levelStep(off: number, level: number): number {
  if (Math.abs(off) <= LEVEL_NEAR * level) return LEVEL_GAIN * off;
  return off > 0 ? Math.min(off, LEVEL_RISE * level) : LEVEL_CREEP * off;
}

/**
 * Works one sample in. Readings may be NaN. `reportedDepth` is the reading itself, `depth` what is made of it,
 * `step` the resolution of the reported depth, m.
 */
export function advanceSlips(
  state: Slips,
  atMs: number,
  hookload: number,
  block: number,
  reportedDepth: number,
  depth: number,
  flag: number,
  step: number,
): void {
  const load = byHookload(state, hookload);
  const travel = byBlock(state, atMs, reportedDepth, block, step);
  const said = byFlag(state, flag, depth);
  let now = state.in;
  if (load === 'out') now = false;
  // One low reading is a spike; two in a row are the slips, unless the end is seen to move.
  else if (load === 'in' && state.wasLow && travel !== 'out') now = true;
  state.wasLow = load === 'in';
  // A hookload that stays at string weight beats the block: then it is the depth reading that stands still.
  const dropped = !(hookload > UNDROPPED_SHARE * state.stringLevel);
  if (travel === 'in' && (dropped || isFirstLevel(state, hookload))) now = true;
  if (said !== 'unclear') now = said === 'in';
  if (now !== state.in) {
    state.in = now;
    state.sinceMs = atMs;
    // What the block did until now is explained; only what it does from here on can prove anything new.
    if (!now) {
      state.standDepth = reportedDepth;
      state.standBlock = block;
    }
  }
  state.doubtful = !now && dropped && said !== 'out';
  state.proven = now && (state.proven || travel === 'in' || said === 'in');
  learnLevels(state, hookload, load);
}

/** S5: what the string hangs on after the last sample. */
export function hangingOf(state: Slips): Hanging {
  if (state.in) return 'slips';
  return state.doubtful ? 'either' : 'block';
}

/** No weight other than the present one has been seen yet: a run that starts in the slips. */
function isFirstLevel(state: Slips, hookload: number): boolean {
  return (
    !state.blockWeightLearnt &&
    Math.abs(hookload - state.stringLevel) < 0.1 * state.stringLevel &&
    Number.isNaN(state.sinceMs)
  );
}
