/** Values in the words of a finding. */
import type { Measure } from '../measuredText.ts';
import type { Quantity } from '../units.ts';

const measure =
  (quantity: Quantity, decimals: number) =>
  (value: number): Measure => ({ quantity, value, decimals });

export const kPa = measure('pressure', 0);
export const kN = measure('force', 1);
export const kNm = measure('torque', 2);
export const lPerMin = measure('flow', 0);
export const metres = measure('length', 2);
export const mm = measure('diameter', 2);
export const kgPerM3 = measure('density', 2);
export const kgPerM = measure('massPerLength', 2);

/** A share in words. */
export const percent = (share: number): string => `${(share * 100).toFixed(1)} %`;
