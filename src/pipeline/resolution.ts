/**
 * How fine a reading really is: the step in which it is printed and the noise on it, learnt from the stream. Every
 * judgement on movement asks this first, so that nothing is judged finer than the data allows.
 */

export interface Resolution {
  /** Smallest step seen, in the reading's unit; NaN until known. */
  step: number;
  /** A still smaller step that has not been seen often enough yet. */
  candidate: number;
  candidateCount: number;
  last: number;
}

const FINEST_STEP = 1e-3;
const TIMES_SEEN = 4;
const SAME_STEP = 0.08;

export function createResolution(): Resolution {
  return { step: Number.NaN, candidate: Number.NaN, candidateCount: 0, last: Number.NaN };
}

/** Learns from one more reading. A step counts once it has been seen a few times: float noise makes odd ones. */
export function learnResolution(state: Resolution, value: number): void {
  const change = Math.abs(value - state.last);
  state.last = value;
  if (!(change > FINEST_STEP / 2)) return;
  const size = Math.max(change, FINEST_STEP);
  if (size >= state.step * (1 - SAME_STEP)) return;
  if (Math.abs(size - state.candidate) <= SAME_STEP * state.candidate) {
    state.candidateCount += 1;
    if (state.candidateCount >= TIMES_SEEN) state.step = state.candidate;
  } else if (!(size > state.candidate) || state.candidateCount < 2) {
    state.candidate = size;
    state.candidateCount = 1;
  }
}

/**
 * Noise of a reading that moves evenly, from second differences: for white noise of variance s² their variance is
 * 6 s² (own derivation: 1² + 2² + 1²). A running mean of absolute values keeps single spikes from counting much.
 */
export interface Jitter {
  first: number;
  second: number;
  meanAbs: number;
  count: number;
}

const JITTER_MEMORY = 60;
/** Mean |x| of a normal variable is s·√(2/π); with the 6 of the second difference: s = meanAbs / (√6·√(2/π)). */
const MEAN_ABS_TO_SIGMA = 1 / (Math.sqrt(6) * Math.sqrt(2 / Math.PI));

export function createJitter(): Jitter {
  return { first: Number.NaN, second: Number.NaN, meanAbs: 0, count: 0 };
}

/** Learns from one more reading; a reading after a break starts with `restartJitter`. `most` bounds one outlier. */
export function learnJitter(state: Jitter, value: number, most: number): void {
  const bend = Math.abs(value - 2 * state.first + state.second);
  state.second = state.first;
  state.first = value;
  if (!(bend >= 0)) return;
  state.count += 1;
  const gain = 1 / Math.min(state.count, JITTER_MEMORY);
  state.meanAbs += gain * (Math.min(bend, most) - state.meanAbs);
}

export function restartJitter(state: Jitter): void {
  state.first = Number.NaN;
  state.second = Number.NaN;
}

/** 1σ of the noise, rounding to the printed step included. */
export function jitterSigma(state: Jitter): number {
  return state.meanAbs * MEAN_ABS_TO_SIGMA;
}
