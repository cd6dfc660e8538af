/**
 * The set-down on the shear device, recognised from hookload and block: set-down builds on a string that does not get deeper
 * by more than it gives, and is then lost sharply while the block stands.
 *
 *              set down                  mostly lost
 *   free ───────────────▶ building ───────────────────▶ released ── 4 s, not lifted ──▶ a tag
 *    ▲   moved on, lifted,    │   ▲     weight is back     │
 *    └── too long, slips ─────┘   └────────────────────────┤
 *    ▲                                     lifted, slips   │
 *    └─────────────────────────────────────────────────────┘
 *
 * G1 The set-down is measured from the hookload just before it. A hookload that stays as it is while the string gets deeper is
 *    that of drag on the way down, and the set-down is measured from there.
 * G2 A string that is rolling is stalling, not tagging. A release that comes from lifting is no release.
 * G3 Noise builds and is lost as sharply: what is lost must stand out of it, whatever the plan's least set-down is.
 * G4 The tool stands on the device with the string pressed together by the set-down: its depth is worked out with that.
 */
import type { Sample } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import { depthTolerance } from './endDepthState.ts';
import { judgedKpa } from './judgedPressure.ts';
import { gapAfterMs, periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { recognise, type TagFound } from './tagStep.ts';

export interface DepthTagSense {
  stage: 'free' | 'building' | 'released';
  /** Hookload of the string with nothing set down, and the readings behind it. */
  levelKn: number;
  levelSamples: number;
  lastKn: number;
  lastMs: number;
  /** Mean change from one reading to the next, kN, and the readings behind it. */
  changeKn: number;
  changes: number;
  /** Where and when the set-down began; depths are end depths without correction, m. */
  fromMs: number;
  fromDepth: number;
  /** The most that was set down, kN, and where; when it was last nearly so much. */
  peakKn: number;
  peakDepth: number;
  highMs: number;
  highDepth: number;
  releasedMs: number;
  /** What is set down, smoothed over a few readings, kN; and since where it has stayed near a value. */
  smoothKn: number;
  plateauKn: number;
  plateauDepth: number;
  /** Rolling was going on under the set-down. */
  rolled: boolean;
  found: TagFound | null;
  /** When the set-down of a tag began that was recognised with this sample; NaN for none. */
  recognisedFromMs: number;
}

/** Shares of the plan's least set-down: what counts as something set down, and as hanging free again. */
const SET_DOWN_SHARE = 0.3;
const NOTHING_SHARE = 0.2;
/** Shares of the peak: nearly the most; mostly lost. */
const HIGH_SHARE = 0.75;
const LOST_SHARE = 0.4;
/** A reading may be this much above the one before it, and no spike. */
const PLAUSIBLE = 1.6;
/** Sharp: lost within this, or within two frames, ms. A set-down shorter than `BUILDS_MS` is noise, ms. */
const SHARP_MS = 6_000;
const BUILDS_MS = 3_000;
const GIVEN_UP_MS = 15 * 60_000;
/** The string stays down for this long after the release, ms. */
const STAYS_MS = 4_000;
/** A hookload that holds within this share of the least set-down over so much movement is drag, m. */
const PLATEAU_SHARE = 0.2;
const PLATEAU_M = 0.1;
const SMOOTH_GAIN = 0.3;
/** Movement of the end of the string beyond what the string gives, m; upwards during the release, and until it counts. */
const MOVES_M = 0.3;
const LIFTS_M = 0.05;
const LIFTED_M = 0.2;
const LEVEL_MEMORY = 50;
/** What is lost is at least so many σ of one reading: the highest of a minute less a low one comes to four or five. */
const NOISE_SIGMAS = 6;
/** Mean |difference| of two normal values over their σ: 2/√π. */
const SIGMA_PER_CHANGE = Math.sqrt(Math.PI) / 2;
const LARGE_CHANGE = 3;
/** So that a hookload printed coarsely, which does not change for minutes, can begin to, kN. */
const LEAST_CHANGE_KN = 1;
const NOISE_MEMORY = 100;
const ENOUGH_SAMPLES = 5;
export function createDepthTagSense(_job: Job): DepthTagSense {
  return {
    stage: 'free',
    levelKn: Number.NaN,
    levelSamples: 0,
    lastKn: Number.NaN,
    lastMs: Number.NaN,
    changeKn: 0,
    changes: 0,
    fromMs: Number.NaN,
    fromDepth: Number.NaN,
    peakKn: 0,
    peakDepth: Number.NaN,
    highMs: Number.NaN,
    highDepth: Number.NaN,
    releasedMs: Number.NaN,
    smoothKn: Number.NaN,
    plateauKn: Number.NaN,
    plateauDepth: Number.NaN,
    rolled: false,
    found: null,
    recognisedFromMs: Number.NaN,
  };
}

export function advanceDepthTagSense(run: Run, sample: Sample): void {
  const { depthTag: state } = run;
  const tag = run.job.engineering.depthTag;
  if (!tag) return;
  state.recognisedFromMs = Number.NaN;
  const atMs = sample.sourceMs;
  const silent = atMs - state.lastMs > gapAfterMs(run.period, run.job.stream.gapAfterMs);
  if (run.slips.in || silent) startOver(state, Number.NaN);
  if (run.slips.in || Number.isNaN(sample.hookload)) return;
  const { hookload } = sample;
  const before = state.lastKn;
  learnNoise(state, Math.abs(hookload - before));
  state.lastKn = hookload;
  state.lastMs = atMs;
  const least = tag.setDownMinKn;
  if (state.stage === 'free') {
    if (levelOff(state, hookload, before, least)) begin(run, atMs);
    else return;
  }
  const drop = state.levelKn - hookload;
  state.rolled ||= isRolling(run, sample);
  if (state.stage === 'released') confirm(run, atMs, drop);
  else build(run, atMs, drop, state.levelKn - before, least);
}

/** A change that is many times the usual one is a set-down, a release or a spike, and counts as a large usual one. */
function learnNoise(state: DepthTagSense, changeKn: number): void {
  if (Number.isNaN(changeKn)) return;
  const most = state.changes < ENOUGH_SAMPLES ? Infinity : LARGE_CHANGE * state.changeKn + LEAST_CHANGE_KN;
  state.changes = Math.min(NOISE_MEMORY, state.changes + 1);
  state.changeKn += (Math.min(changeKn, most) - state.changeKn) / state.changes;
}

/** Nothing is set down that is known of; the level is learnt anew from `levelKn`, NaN for the next reading. */
function startOver(state: DepthTagSense, levelKn: number): void {
  state.stage = 'free';
  state.levelKn = levelKn;
  state.levelSamples = Number.isNaN(levelKn) ? 0 : 1;
  state.lastKn = Number.NaN;
  state.rolled = false;
}

/** Follows the hookload of the free string. True when something has been set down. */
function levelOff(state: DepthTagSense, hookload: number, before: number, least: number): boolean {
  if (Number.isNaN(state.levelKn)) state.levelKn = hookload;
  const off = hookload - state.levelKn;
  const near = SET_DOWN_SHARE * least;
  if (Math.abs(off) <= near) {
    state.levelSamples += 1;
    state.levelKn += off / Math.min(state.levelSamples, LEVEL_MEMORY);
    return false;
  }
  if (off < 0 && state.levelSamples >= ENOUGH_SAMPLES) return true;
  // One high reading is a spike; two are a new level.
  if (off < 0 || before - state.levelKn > near) {
    state.levelKn = off < 0 ? hookload : Math.min(hookload, before);
    state.levelSamples = 1;
  }
  return false;
}

function begin(run: Run, atMs: number): void {
  const { depthTag: state } = run;
  state.stage = 'building';
  state.fromMs = atMs;
  state.fromDepth = run.endDepth.depth;
  state.peakKn = 0;
  state.peakDepth = state.highDepth = run.endDepth.depth;
  state.highMs = atMs;
  state.rolled = false;
  state.smoothKn = state.plateauKn = Number.NaN;
}

/** Whether the string gets deeper with the weight as it is: it rubs, and stands on nothing (G1). */
function isDragging(state: DepthTagSense, drop: number, depth: number, least: number, tolerance: number): boolean {
  state.smoothKn = Number.isNaN(state.smoothKn) ? drop : state.smoothKn + SMOOTH_GAIN * (drop - state.smoothKn);
  if (!(Math.abs(state.smoothKn - state.plateauKn) <= PLATEAU_SHARE * least)) {
    state.plateauKn = state.smoothKn;
    state.plateauDepth = depth;
  }
  return depth - state.plateauDepth > PLATEAU_M + tolerance;
}

/** Pressure and rotation of a recipe on its joint: what is set down then is weight on the rollers. */
function isRolling(run: Run, sample: Sample): boolean {
  const { work, job } = run;
  const recipe = work.joint >= 0 ? job.joints[work.joint]!.recipe! : undefined;
  return (
    recipe !== undefined &&
    judgedKpa(recipe, run.pressures) >= recipe.pressureMinKpa &&
    !(sample.rotation < Math.max(1, recipe.rpmMin))
  );
}

function build(run: Run, atMs: number, drop: number, dropBefore: number, least: number): void {
  const { depthTag: state, endDepth } = run;
  const gives = run.depthAtTool.perKn;
  const moved = endDepth.depth - state.fromDepth;
  const tolerance = depthTolerance(endDepth);
  if (isDragging(state, drop, endDepth.depth, least, tolerance)) {
    startOver(state, state.levelKn - state.smoothKn);
    state.levelSamples = ENOUGH_SAMPLES;
    return;
  }
  // A string that has gone on, or up, with the weight gone from it: that was drag, and its new weight is the level.
  if (
    moved > gives * Math.max(drop, state.peakKn) + MOVES_M + tolerance ||
    moved < -MOVES_M - tolerance ||
    atMs - state.fromMs > GIVEN_UP_MS
  ) {
    startOver(state, state.levelKn - drop);
    return;
  }
  if (drop > state.peakKn && drop <= PLAUSIBLE * Math.max(dropBefore, least / 2)) {
    state.peakKn = drop;
    state.peakDepth = endDepth.depth;
  }
  if (drop >= HIGH_SHARE * state.peakKn) {
    state.highMs = atMs;
    state.highDepth = endDepth.depth;
    return;
  }
  if (drop > LOST_SHARE * state.peakKn) return;
  const lasted = state.highMs - state.fromMs;
  const sharp = atMs - state.highMs <= Math.max(SHARP_MS, 2.2 * periodMs(run.period));
  const shift = endDepth.depth - state.highDepth;
  const stood = shift >= -LIFTS_M - tolerance && shift <= gives * state.peakKn + MOVES_M + tolerance;
  const standsOut = state.peakKn - drop >= NOISE_SIGMAS * SIGMA_PER_CHANGE * state.changeKn;
  if (state.peakKn >= least && standsOut && lasted >= BUILDS_MS && sharp && stood && !state.rolled) {
    state.stage = 'released';
    state.releasedMs = atMs;
  } else if (drop < NOTHING_SHARE * least) state.stage = 'free';
  // Not the most any more, and not free either: what is left may be a new beginning.
  else if (!sharp) startOver(state, state.levelKn - drop);
}

function confirm(run: Run, atMs: number, drop: number): void {
  const { depthTag: state, endDepth } = run;
  if (drop > HIGH_SHARE * state.peakKn) {
    state.stage = 'building';
    return;
  }
  const lifted = endDepth.depth < state.highDepth - LIFTED_M - depthTolerance(endDepth);
  if (lifted || state.rolled) startOver(state, state.levelKn - drop);
  else if (atMs - state.releasedMs >= STAYS_MS) {
    const { fromMs, releasedMs } = state;
    startOver(state, state.levelKn - drop);
    recognise(run, fromMs, releasedMs);
  }
}
