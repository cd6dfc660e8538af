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
