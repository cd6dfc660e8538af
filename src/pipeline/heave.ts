/**
 * Residual heave: what the depth does about its own slow course while the string hangs free or is fed. A feed that ripples
 * reads as heave too: the readings cannot tell the two apart, and either makes the depth of one instant that much less sure.
 */

/** Time constant of the low-pass that the movement is held against, s: longer than any swell. */
const LOW_PASS_S = 20;
/** Median of |x| to σ for a normal spread; a sine wave reads 1.48 times too wide. */
const MEDIAN_TO_SIGMA = 1.4826;
/** Speed of the running median, m/s: a swell is learnt in minutes, a start or a stop of the string hardly shows. */
const MEDIAN_M_PER_S = 0.0001;
/** Faster than rolling, bends of the movement are no heave, m/s. */
const FASTEST_M_PER_S = 0.1;
/** The low-pass has settled after this, s. */
const SETTLES_S = 60;
const LONGEST_STEP_S = 15;

export interface Heave {
  level: number;
  /** m/s. */
  trend: number;
  atMs: number;
  /** Since when without a break, ms. */
  sinceMs: number;
  /** Running median of the distance from the low-pass, m. */
  medianM: number;
}

export function createHeave(): Heave {
  return { level: Number.NaN, trend: 0, atMs: Number.NaN, sinceMs: Number.NaN, medianM: 0 };
}

/** In slips, and after a break, the depth starts a new line. */
export function restartHeave(state: Heave): void {
  state.level = Number.NaN;
}

/** Works one depth in, m: a line fitted with fading memory (Brown's double smoothing), and how far the reading lies off it. */
export function learnHeave(state: Heave, atMs: number, depth: number): void {
  const seconds = (atMs - state.atMs) / 1000;
  if (Number.isNaN(state.level) || !(seconds > 0) || seconds > LONGEST_STEP_S) {
    state.level = depth;
    state.trend = 0;
    state.atMs = atMs;
    state.sinceMs = atMs;
    return;
  }
  const fade = LOW_PASS_S / (LOW_PASS_S + seconds);
  const off = depth - (state.level + state.trend * seconds);
  state.level = depth - fade * fade * off;
  state.trend += ((1 - fade) * (1 - fade) * off) / seconds;
  state.atMs = atMs;
  if (Math.abs(state.trend) > FASTEST_M_PER_S || atMs - state.sinceMs < SETTLES_S * 1000) return;
  const step = MEDIAN_M_PER_S * seconds;
  const away = Math.abs(depth - state.level);
  state.medianM = away > state.medianM ? state.medianM + step : Math.max(0, state.medianM - step);
}

/** 1σ of the residual heave, m, less `readingSigma`, which the depth readings have without any. */
export function heaveSigma(state: Heave, readingSigma: number): number {
  const sigma = MEDIAN_TO_SIGMA * state.medianM;
  return Math.sqrt(Math.max(0, sigma * sigma - readingSigma * readingSigma));
}
