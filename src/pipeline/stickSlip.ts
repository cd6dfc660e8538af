/**
 * Stick-slip: torque that swings with a period of 2 to 8 s. Readings of the last 48 s, a second apart, are freed of their trend
 * and held against waves of those periods (discrete Fourier transform); noise spreads over all of them, stick-slip stands in
 * one or two neighbours.
 */
import type { Sample } from '../channels.ts';

/** Frames slower than this cannot show it, ms: two readings a period at the very least. */
export const STICK_SLIP_FRAME_MS = 1_500;
const WINDOW = 48;
const MOST_KEPT = 2 * WINDOW;
/** Waves in the window: periods of 48/6 = 8 s down to 2 s. */
const LEAST_WAVES = 6;
const MOST_WAVES = WINDOW / 2;
/** Worked out anew after so many readings. */
const EVERY = 6;
/** Share of the variance that two neighbouring waves must hold: white noise gets there once in some 20,000 windows. */
const WAVE_SHARE = 0.55;
const SECOND_MS = 1_000;
/** Slightly early is a second as well. */
const EARLY_MS = 100;
/** A longer hole between two readings starts the window anew, ms; a shorter one is bridged. */
const HOLE_MS = 2_600;
const TURNING_RPM = 5;
/** Roundings aside, the waves of a window hold its variance, no more. */
const MORE_THAN_ALL = 1.000001;

export interface StickSlip {
  torques: number[];
  atMs: number;
  last: number;
  since: number;
  /** Swing of the torque, highest to lowest, as a share of its mean; 0: none. */
  swingShare: number;
  periodS: number;
}

export function createStickSlip(): StickSlip {
  return { torques: [], atMs: Number.NaN, last: Number.NaN, since: 0, swingShare: 0, periodS: Number.NaN };
}

function restart(state: StickSlip): void {
  if (state.torques.length > 0) state.torques.length = 0;
  state.swingShare = 0;
  state.since = 0;
}

/** Works one sample in. `frameMs`: usual time between samples. `least`: swing that matters, share of the mean. */
export function advanceStickSlip(
  state: StickSlip,
  { sourceMs, torque, rotation }: Sample,
  inSlips: boolean,
  frameMs: number,
  least: number,
): void {
  if (inSlips || frameMs > STICK_SLIP_FRAME_MS || rotation <= TURNING_RPM) {
    restart(state);
    return;
  }
  if (Number.isNaN(torque)) return;
  const passed = sourceMs - state.atMs;
  if (passed < SECOND_MS - EARLY_MS) return;
  if (passed > HOLE_MS) restart(state);
  else if (passed > 1.5 * SECOND_MS && state.torques.length > 0) state.torques.push((state.last + torque) / 2);
  state.atMs = sourceMs;
  state.last = torque;
  state.torques.push(torque);
  state.since += 1;
  // What is older goes a window at a time.
  if (state.torques.length > MOST_KEPT) state.torques.splice(0, state.torques.length - WINDOW);
  if (state.torques.length < WINDOW || state.since < EVERY) return;
  state.since = 0;
  measureSwing(state, least);
}

const centred = new Float64Array(WINDOW);

/** Takes the straight line off the readings from `first` on; returns their variance about it. */
function detrend(torques: readonly number[], first: number, mean: number): number {
  let slope = 0;
  let spread = 0;
  for (let i = 0; i < WINDOW; i += 1) {
    const x = i - (WINDOW - 1) / 2;
    slope += x * torques[first + i]!;
    spread += x * x;
  }
  slope /= spread;
  let variance = 0;
  for (let i = 0; i < WINDOW; i += 1) {
    const off = torques[first + i]! - mean - slope * (i - (WINDOW - 1) / 2);
    centred[i] = off;
    variance += off * off;
  }
  return variance / WINDOW;
}

/** Cosine and sine of every wave that is looked for, reading by reading. */
const WAVES = Float64Array.from({ length: 2 * WINDOW * (MOST_WAVES - LEAST_WAVES + 2) }, (_, at) => {
  const waves = LEAST_WAVES - 1 + Math.floor(at / (2 * WINDOW));
  const i = (at >> 1) % WINDOW;
  const turn = (2 * Math.PI * waves) / WINDOW;
  return at % 2 === 0 ? Math.cos(turn * i) : Math.sin(turn * i);
});

/** Variance that the wave with `waves` periods in the window holds. */
function waveVariance(waves: number): number {
  let at = 2 * WINDOW * (waves - LEAST_WAVES + 1);
  let cosines = 0;
  let sines = 0;
  for (let i = 0; i < WINDOW; i += 1) {
    const one = centred[i]!;
    cosines += one * WAVES[at]!;
    sines += one * WAVES[at + 1]!;
    at += 2;
  }
  const both = (cosines * cosines + sines * sines) / (WINDOW * WINDOW);
  return waves === MOST_WAVES ? both : 2 * both;
}

/** A wave of amplitude a has the variance a²/2, and swings by 2a. */
const swingOf = (variance: number): number => 2 * Math.sqrt(2 * variance);

function measureSwing(state: StickSlip, least: number): void {
  state.swingShare = 0;
  const { torques } = state;
  const first = torques.length - WINDOW;
  let mean = 0;
  for (let i = first; i < torques.length; i += 1) mean += torques[i]! / WINDOW;
  if (!(mean > 0)) return;
  const variance = detrend(torques, first, mean);
  // Most windows are done here: nothing in them swings that much. The dead band asks for a little less.
  if (swingOf(variance) < 0.5 * least * mean) return;
  let before = 0;
  let best = 0;
  let bestWaves = 0;
  // All waves together hold the variance (Parseval): what is left to the others.
  let left = MORE_THAN_ALL * variance;
  for (let waves = LEAST_WAVES - 1; waves <= MOST_WAVES; waves += 1) {
    const now = waveVariance(waves);
    if (best < WAVE_SHARE * variance && before + left < WAVE_SHARE * variance) return;
    left -= now;
    const pair = before + now;
    if (waves >= LEAST_WAVES && pair > best) {
      best = pair;
      bestWaves = now > before ? waves : waves - 1;
    }
    before = now;
  }
  if (best < WAVE_SHARE * variance) return;
  state.swingShare = swingOf(best) / mean;
  state.periodS = WINDOW / Math.max(LEAST_WAVES, bestWaves);
}
