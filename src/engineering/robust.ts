/** Statistics that a few wild readings do not move: baselines from median and MAD, slow drift by Theil–Sen. */
import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { invariant } from '../fault.ts';
import type { Interval } from './lineFit.ts';
import { normalQuantile } from './quantiles.ts';

export { median };

/** A normal sample's standard deviation over its MAD: 1 / Φ⁻¹(3/4). */
export const SIGMA_PER_MAD = 1.4826022185056018;

/** Every pair of points makes a slope: 2,000 points make two million. Thin the series before, not here. */
export const MOST_THEIL_SEN_POINTS = 2000;

/** Standard deviation estimated from the median absolute deviation, unit of the values; at least one value. */
export function robustSigma(values: readonly number[]): number {
  invariant(values.length > 0, 'a spread needs values');
  return SIGMA_PER_MAD * medianAbsoluteDeviation([...values]);
}

/** How many robust standard deviations `value` lies from the median of `values` (NIST/SEMATECH e-Handbook 1.3.5.17). */
export function robustZ(values: readonly number[], value: number): number {
  const away = value - median([...values]);
  const sigma = robustSigma(values);
  if (sigma > 0) return away / sigma;
  return away === 0 ? 0 : Math.sign(away) * Number.POSITIVE_INFINITY;
}

/**
 * Hampel's test: the indexes of values further than `sigmas` robust standard deviations from the median of the window of
 * `half` values on each side. At the ends the window is cut short.
 */
export function hampelOutliers(values: readonly number[], half: number, sigmas: number): number[] {
  invariant(Number.isInteger(half) && half > 0 && sigmas > 0, 'a window of at least one value on each side');
  const outliers: number[] = [];
  for (let i = 0; i < values.length; i += 1) {
    const window = values.slice(Math.max(0, i - half), i + half + 1);
    if (Math.abs(robustZ(window, values[i]!)) > sigmas) outliers.push(i);
  }
  return outliers;
}

export interface TheilSen {
  readonly slope: number;
  /** Median of the residuals about the slope. */
  readonly intercept: number;
  /** The interval that holds the slope with the asked confidence. */
  readonly interval: Interval;
}

function sortedSlopes(xs: readonly number[], ys: readonly number[]): Float64Array {
  const slopes: number[] = [];
  for (let i = 0; i < xs.length; i += 1) {
    for (let j = i + 1; j < xs.length; j += 1) {
      if (xs[i] !== xs[j]) slopes.push((ys[j]! - ys[i]!) / (xs[j]! - xs[i]!));
    }
  }
  return Float64Array.from(slopes).sort();
}

/** Sum of c(c − 1)(2c + 5) over the groups of equal values: what ties take from the variance of Kendall's S. */
function tieTerm(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  let sum = 0;
  for (const c of counts.values()) sum += c * (c - 1) * (2 * c + 5);
  return sum;
}

/** Ranks from the normal approximation to Kendall's S (Sen 1968, J. Am. Stat. Assoc. 63, 1379–1389). */
function sensInterval(
  slopes: Float64Array,
  xs: readonly number[],
  ys: readonly number[],
  confidence: number,
): Interval {
  const n = xs.length;
  const variance = (n * (n - 1) * (2 * n + 5) - tieTerm(xs) - tieTerm(ys)) / 18;
  const reach = normalQuantile((1 + confidence) / 2) * Math.sqrt(Math.max(0, variance));
  const lowRank = Math.max(Math.round((slopes.length - reach) / 2) - 1, 0);
  const highRank = Math.min(Math.round((slopes.length + reach) / 2), slopes.length - 1);
  return { low: slopes[lowRank]!, high: slopes[highRank]! };
}

/**
 * The median of the slopes between all pairs of points, with its interval; null where all points lie at one x.
 * `confidence` between 0 and 1; at most `MOST_THEIL_SEN_POINTS` points, all finite.
 */
export function theilSen(xs: readonly number[], ys: readonly number[], confidence: number): TheilSen | null {
  invariant(
    xs.length === ys.length && xs.length <= MOST_THEIL_SEN_POINTS,
    'one y for each x, and no more than the limit',
  );
  invariant(confidence > 0 && confidence < 1, 'a confidence inside 0 to 1');
  const slopes = sortedSlopes(xs, ys);
  if (slopes.length === 0) return null;
  const middle = slopes.length >> 1;
  const slope = slopes.length % 2 === 1 ? slopes[middle]! : (slopes[middle - 1]! + slopes[middle]!) / 2;
  const intercept = median(xs.map((x, i) => ys[i]! - slope * x));
  return { slope, intercept, interval: sensInterval(slopes, xs, ys, confidence) };
}
