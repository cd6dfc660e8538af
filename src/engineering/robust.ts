/** Statistics that a few wild readings do not move: baselines from median and MAD. */
import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { invariant } from '../fault.ts';

export { median };

/** A normal sample's standard deviation over its MAD: 1 / Φ⁻¹(3/4). */
export const SIGMA_PER_MAD = 1.4826022185056018;

/** Standard deviation estimated from the median absolute deviation, unit of the values; at least one value. */
export function robustSigma(values: readonly number[]): number {
  invariant(values.length > 0, 'a spread needs values');
  return SIGMA_PER_MAD * medianAbsoluteDeviation([...values]);
}

/** Iglewicz and Hoaglin, "How to detect and handle outliers" (1993): beyond it a value is labelled as a possible outlier. */
export const OUTLIER_SCORE = 3.5;
/** Φ⁻¹(3/4), and the mean deviation of a normal sample: √(π/2). */
const SIGMA_SHARE = 0.6745;
const SIGMA_PER_MEAN_DEVIATION = 1.253314;

/**
 * How far each value lies from the median, in robust standard deviations: their modified z-score, 0.6745 (x − median) / MAD.
 * Where more than half of the values are one, the MAD is 0 and the mean deviation from the median takes its place (the same
 * authors, from memory); 0 where all are one.
 * @param values at least one
 */
export function modifiedZScores(values: readonly number[]): number[] {
  invariant(values.length > 0, 'scores need values');
  const middle = median([...values]);
  const mad = medianAbsoluteDeviation([...values]);
  if (mad > 0) return values.map((value) => (SIGMA_SHARE * (value - middle)) / mad);
  const mean = values.reduce((sum, value) => sum + Math.abs(value - middle), 0) / values.length;
  return values.map((value) => (mean > 0 ? (value - middle) / (SIGMA_PER_MEAN_DEVIATION * mean) : 0));
}
