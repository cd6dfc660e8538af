/**
 * Where the rollers touch: tool depth = end depth − offset + correction + stretch.
 *
 * T1 The stretch is what the string is longer than when the depths were in line, hanging free: shorter by the set-down on the
 *    tool (elastic), longer by what temperature has changed since (T6). Without a string in the plan it is 0.
 * T2 Only a string that rotates shows its set-down: without rotation drag and set-down read alike, and the last value stays.
 *    Nothing is set down while it is lifted. In slips it stays as it was.
 * T3 The stretch follows slowly, at a bounded speed and with a little play, so that the noise of the hookload moves no depth.
 *    Feed and motion are judged on the movement of the block, which has no stretch in it.
 * T4 Pressure inside the string is not put right: rolling goes on at one pressure, so it stays out of lengths. It is part of the
 *    uncertainty once the depth has been tied to the hole at another pressure.
 * T5 A stall is judged on the movement of the block less what of it only pressed the string together.
 * T6 The liner was run on this string by this tally: what warming from the deck to the hole makes of it moves liner and tool
 *    alike, by a metre in a deep hole, and is no difference between them. The warming of the first plan that gives one is
 *    therefore the reference; only where a later plan of the journal gives another does the tool move, by the difference. A
 *    string that is warmer now than when it ran the liner shows itself in the tag.
 */
import type { Sample } from '../channels.ts';
import { elasticMovementM, insidePressureStretchM, meanWarmingC, thermalStretchM } from '../engineering/stretch.ts';
import { wellPath } from '../engineering/survey.ts';
import {
  DEPTH_ERROR_MODEL,
  lengthSigma,
  quantisationSigma,
  rootSumSquare,
  untaggedDepth,
} from '../engineering/uncertainty.ts';
import type { DepthAtToolNow } from '../live/messages.ts';
import type { Job } from '../plan/job.ts';
import { depthStep } from './endDepthState.ts';
import { createHeave, type Heave, heaveSigma, learnHeave, restartHeave } from './heave.ts';
import { hungString } from './hungString.ts';
import { jitterSigma } from './resolution.ts';
import type { Run } from './runState.ts';
import { setDownOf } from './setDown.ts';

export interface DepthAtTool {
  /** Change of stretch since the depths were last in line, added to the end depth, m. */
  stretchM: number;
  /** Its parts, and where the elastic one is going. */
  thermalM: number;
  /** Mean warming of the string that the depths are in line with, °C; NaN until a plan has given one. */
  warmingC: number;
  elasticM: number;
  smoothedM: number;
  /** What the string was pressed together and the block has not gone down for yet; all that it has gone down for so, m. */
  pressedM: number;
  takenUpM: number;
  /** The two readings of set-down before the last, kN: a single spike is none. */
  before: [number, number];
  atMs: number;
  /** m a kN, and m a kPa inside, of the string as it hung with its end at `hungToM`. */
  perKn: number;
  perKpa: number;
  hungToM: number;
  /** True vertical depths of the liner's top and bottom, m. */
  tvdM: [number, number];
  heave: Heave;
  /** The most that the stretch came to while a tool was at work, m. */
  atWorkM: number;
  corrected: DepthAtToolNow['corrected'];
  /** What the correction was made at: depth of the end, pressure inside, and 1σ of the correction itself, m. */
  correctedAt: { depth: number; kpa: number; sigma: number };
}

/** How slowly the stretch follows the set-down: time constant, s; fastest, m/s; play, m. */
const FOLLOWS_S = 10;
const FASTEST_M_PER_S = 0.01;
const PLAY_M = 0.005;
const LONGEST_STEP_S = 30;
/** Rotation that takes the drag off the axial force (common practice). */
const TURNING_RPM = 5;
/** The string is hung anew when its end has moved by this, m. */
const HANG_ANEW_M = 5;
/** Share of a stretch that the model may be wrong by, 1σ: tool joints, wear, drag (common practice). */
export const STRETCH_MODEL_SHARE = 0.1;

export function createDepthAtTool(job: Job): DepthAtTool {
  return {
    stretchM: 0,
    thermalM: 0,
    warmingC: Number.NaN,
    elasticM: 0,
    smoothedM: 0,
    pressedM: 0,
    takenUpM: 0,
    before: [Number.NaN, Number.NaN],
    atMs: Number.NaN,
    perKn: 0,
    perKpa: 0,
    hungToM: Number.NaN,
    tvdM: linerTvd(job),
    heave: createHeave(),
    atWorkM: 0,
    corrected: 'not corrected',
    correctedAt: { depth: Number.NaN, kpa: Number.NaN, sigma: 0 },
  };
}

/** A new plan may hold another string and another survey: the stretch finds its new value from where it is. */
export function replanDepthAtTool(run: Run): void {
  run.depthAtTool.hungToM = Number.NaN;
  run.depthAtTool.tvdM = linerTvd(run.job);
}

function linerTvd(job: Job): [number, number] {
  const stations = job.engineering.survey.map(({ mdM, inclinationDeg, azimuthDeg }) => ({
    md: mdM,
    inclination: inclinationDeg,
    azimuth: azimuthDeg,
  }));
  const top = job.joints[0]!.top;
  const bottom = job.joints.at(-1)!.bottom;
  const path = wellPath(stations);
  return [path.at(top).tvd, path.at(bottom).tvd];
}

/** True vertical depth near the liner, m: straight between its ends, no finer than an uncertainty needs. */
function tvdOf(run: Run, md: number): number {
  const { joints } = run.job;
  const [top, bottom] = [joints[0]!.top, joints.at(-1)!.bottom];
  const [tvdTop, tvdBottom] = run.depthAtTool.tvdM;
  return tvdTop + ((tvdBottom - tvdTop) * (md - top)) / (bottom - top);
}

export function advanceDepthAtTool(run: Run, sample: Sample): void {
  const { depthAtTool: state, endDepth } = run;
  if (run.slips.in) restartHeave(state.heave);
  else learnHeave(state.heave, sample.sourceMs, endDepth.depth);
  if (run.job.engineering.string.length === 0) {
    if (state.stretchM !== 0) state.stretchM = state.elasticM = state.smoothedM = state.thermalM = 0;
    return;
  }
  if (!(Math.abs(endDepth.depth - state.hungToM) <= HANG_ANEW_M)) hangAnew(run);
  const seconds = Math.min(LONGEST_STEP_S, (sample.sourceMs - state.atMs) / 1000);
  state.atMs = sample.sourceMs;
  const before = state.elasticM;
  if (run.slips.in) state.pressedM = 0;
  else if (seconds > 0) follow(run, sample, seconds);
  takeUp(state, state.elasticM - before, endDepth.advanceM);
  state.stretchM = state.thermalM + state.elasticM;
  if (run.work.joint >= 0) state.atWorkM = Math.max(state.atWorkM, -state.elasticM);
}

function hangAnew(run: Run): void {
  const { depthAtTool: state, job, endDepth } = run;
  const { temperature } = job.engineering;
  const hung = hungString(job, endDepth.depth);
  state.hungToM = endDepth.depth;
  state.perKn = elasticMovementM(hung, endDepth.depth, 1);
  state.perKpa = insidePressureStretchM(hung, 1, 1);
  const warmingC = temperature
    ? temperature.surfaceC + meanWarmingC(temperature.surfaceC, temperature.bottomC) - temperature.talliedC
    : state.warmingC;
  if (Number.isNaN(state.warmingC)) state.warmingC = warmingC;
  state.thermalM = Number.isNaN(warmingC) ? 0 : thermalStretchM(endDepth.depth, warmingC - state.warmingC);
}

/** T2 and T3. */
function follow(run: Run, sample: Sample, seconds: number): void {
  const { depthAtTool: state } = run;
  const lifted = run.motion.way === 'up';
  const setDown = setDownOf(run.stringWeight, sample);
  const steady = median(setDown, state.before[0], state.before[1]);
  state.before[1] = state.before[0];
  state.before[0] = setDown;
  if (!lifted && !(sample.rotation > TURNING_RPM && steady > -Infinity)) return;
  const target = lifted ? 0 : -state.perKn * Math.max(0, steady);
  state.smoothedM += (seconds / (FOLLOWS_S + seconds)) * (target - state.smoothedM);
  const off = state.smoothedM - state.elasticM;
  const most = FASTEST_M_PER_S * seconds;
  if (Math.abs(off) > PLAY_M) state.elasticM += Math.max(-most, Math.min(most, off - Math.sign(off) * PLAY_M));
}

/**
 * T5. The stretch comes after the block, so that what it says of the past is held against what the block does next. A string
 * that gets longer again gives back what was taken up: the tool gets deeper under a block that stands.
 */
function takeUp(state: DepthAtTool, longerM: number, advanceM: number): void {
  const pressed = state.pressedM - longerM;
  state.pressedM = Math.max(0, pressed);
  if (pressed < 0) state.takenUpM = Math.max(0, state.takenUpM + pressed);
  if (!(advanceM > 0) || state.pressedM === 0) return;
  const taken = Math.min(state.pressedM, advanceM);
  state.pressedM -= taken;
  state.takenUpM += taken;
}

/** The middle one of three; NaN where one is not known. */
const median = (a: number, b: number, c: number): number => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));

/** 1σ parts of one depth that are drawn anew at each reading: printed step, noise, residual heave, m. */
export function ownSigmas(run: Run): number[] {
  const step = depthStep(run.endDepth);
  const noise = jitterSigma(run.endDepth.jitter);
  const quantisation = quantisationSigma(step);
  return [quantisation, noise, heaveSigma(run.depthAtTool.heave, rootSumSquare(quantisation, noise))];
}

/** The depth of the end has been tied to something in the hole; `sigma`: 1σ of that, m. */
export function noteCorrection(run: Run, by: 'by the journal' | 'by the tag', sigma: number): void {
  run.depthAtTool.corrected = by;
  const at = run.depthAtTool.correctedAt;
  at.depth = run.endDepth.depth;
  at.kpa = run.sample?.standpipePressure ?? Number.NaN;
  at.sigma = sigma;
}

/**
 * 1σ of a depth that nothing has confirmed, m, against the liner that it is about: the same rig ran that with the same tally, so
 * that scale and stretch under own weight go out of the difference; where depth zero lies is drawn anew for either run.
 */
function untaggedSigma(run: Run, md: number, own: readonly number[]): number {
  const tool = untaggedDepth(md, tvdOf(run, md), 'fixed', own);
  const { scale, stretch } = tool.shared;
  const alike = { scale: scale!, stretch: stretch! };
  const references = [tool.shared.reference!, tool.shared.datum!];
  return lengthSigma({ shared: alike, own: [...own, ...references] }, { shared: alike, own: references });
}

/** 1σ of the tool's depth now, m; NaN while no depth is known. */
export function toolDepthSigma(run: Run): number {
  const { depthAtTool: state, endDepth } = run;
  const own = [...ownSigmas(run), STRETCH_MODEL_SHARE * Math.abs(state.elasticM)];
  const md = endDepth.depth;
  if (state.corrected === 'not corrected') return untaggedSigma(run, md, own);
  const { depth, kpa, sigma } = state.correctedAt;
  const { scale, stretchPerM } = DEPTH_ERROR_MODEL.fixed;
  const kpaNow = run.sample?.standpipePressure ?? Number.NaN;
  // Between nothing and the whole of it: an even spread (GUM 4.3.7, from memory).
  const apartKpa = Math.abs(kpaNow - kpa);
  const byPressure = Number.isNaN(apartKpa) ? 0 : (state.perKpa * apartKpa) / Math.sqrt(3);
  return rootSumSquare(
    ...own,
    sigma,
    scale * (md - depth),
    stretchPerM * (md * tvdOf(run, md) - depth * tvdOf(run, depth)),
    byPressure,
  );
}

export function depthAtToolNow(run: Run): DepthAtToolNow {
  const { depthAtTool: state, depthTag } = run;
  const sigma = toolDepthSigma(run);
  const found = depthTag.found;
  return {
    sigma: Number.isNaN(sigma) ? null : sigma,
    stretch: state.stretchM,
    corrected: state.corrected,
    offer:
      found === null || found.state !== 'offered'
        ? null
        : {
            step: run.steps.steps[found.step]!.id,
            atMs: found.atMs,
            tool: found.tool,
            shown: found.shownM,
            tagged: found.taggedM,
            setDown: found.setDownKn,
          },
  };
}
