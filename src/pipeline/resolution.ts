/**
 * How fine a reading really is: the step in which it is printed and the noise on it, learnt from the stream. Every
 * judgement on movement asks this first, so that nothing is judged finer than the data allows.
 */

/** Steps that depth readings come in, m, coarse to fine: decimals of a metre and of a foot. */
const STEPS = [1, 0.5, 0.3048, 0.1, 0.05, 0.03048, 0.02, 0.01, 0.003048, 0.001] as const;
/** A reading off the lattice by more than this share of a step does not fit it. */
const OFF_LATTICE = 0.02;
/** Feet that were converted and then printed to a hundredth of a metre are off their lattice by up to half of that, m. */
const CONVERTED = 0.0051;
const FOOT_STEPS: ReadonlySet<number> = new Set([0.3048, 0.03048]);
/** Readings that must not fit before a step is given up: one odd reading is no finer step. */
const STRIKES = 3;

export interface Resolution {
  /** The coarsest step that the readings fit, m; NaN before the first reading. */
  step: number;
  strikes: number[];
}

export function createResolution(): Resolution {
  return { step: Number.NaN, strikes: STEPS.map(() => 0) };
}

const fitsStep = (value: number, step: number): boolean => {
  const off = Math.abs(value - Math.round(value / step) * step);
  return off <= (FOOT_STEPS.has(step) ? CONVERTED : OFF_LATTICE * step);
};

/** Learns from one more reading, m. */
export function learnResolution(state: Resolution, value: number): void {
  if (Number.isNaN(state.step)) state.step = STEPS[0];
  else if (fitsStep(value, state.step)) return;
  for (let i = 0; i < STEPS.length; i += 1) {
    if (state.strikes[i]! < STRIKES && !fitsStep(value, STEPS[i]!)) state.strikes[i]! += 1;
  }
  const coarsest = state.strikes.findIndex((strikes) => strikes < STRIKES);
  state.step = coarsest < 0 ? STEPS[STEPS.length - 1]! : STEPS[coarsest]!;
}

/**
 * Noise of a reading that moves evenly, from second differences: for white noise of variance s² their variance is
 * 6 s² (own derivation: 1² + 2² + 1²). Frames need not be even: where the last interval is r times the one before, the
 * line through the two readings before is off by (1² + (1 + r)² + r²) s², and is brought to the 6 of even frames.
 * A running mean of absolute values keeps single spikes from counting much.
 */
export interface Jitter {
  atMs: number;
  intervalMs: number;
  first: number;
  second: number;
  meanAbs: number;
  count: number;
}

const JITTER_MEMORY = 60;
/** Mean |x| of a normal variable is s·√(2/π); with the 6 of the second difference: s = meanAbs / (√6·√(2/π)). */
const MEAN_ABS_TO_SIGMA = 1 / (Math.sqrt(6) * Math.sqrt(2 / Math.PI));

export function createJitter(): Jitter {
  return { atMs: Number.NaN, intervalMs: Number.NaN, first: Number.NaN, second: Number.NaN, meanAbs: 0, count: 0 };
}

/** Learns from one more reading; a reading after a break starts with `restartJitter`. `most` bounds one outlier. */
export function learnJitter(state: Jitter, atMs: number, value: number, most: number): void {
  const intervalMs = atMs - state.atMs;
  const r = intervalMs / state.intervalMs;
  const off = value - state.first - (state.first - state.second) * r;
  const bend = Math.abs(off) * Math.sqrt(6 / (1 + (1 + r) ** 2 + r ** 2));
  state.atMs = atMs;
  state.intervalMs = intervalMs;
  state.second = state.first;
  state.first = value;
  if (!(bend >= 0)) return;
  state.count += 1;
  const gain = 1 / Math.min(state.count, JITTER_MEMORY);
  state.meanAbs += gain * (Math.min(bend, most) - state.meanAbs);
}

export function restartJitter(state: Jitter): void {
  state.atMs = Number.NaN;
  state.intervalMs = Number.NaN;
  state.first = Number.NaN;
  state.second = Number.NaN;
}

/** 1σ of the noise, rounding to the printed step included. */
export function jitterSigma(state: Jitter): number {
  return state.meanAbs * MEAN_ABS_TO_SIGMA;
}
