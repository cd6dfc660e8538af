/** Numbers as the check writes them: in the units of the plan, rounded like the record, null where they are not known. */
import type { Quantity, UnitSystemConverter } from '../units.ts';

/** Decimals of each quantity: finer than it can be known, coarser than binary noise. */
const DECIMALS: Partial<Record<Quantity, number>> = {
  length: 3,
  diameter: 3,
  pressure: 1,
  force: 2,
  torque: 3,
  flow: 1,
  density: 3,
  volume: 3,
  sampleVolume: 3,
};
const SHARE_DECIMALS = 4;
const PLAIN_DECIMALS = 3;

export function rounded(value: number, decimals: number): number {
  const scale = 10 ** decimals;
  const at = Math.round(value * scale) / scale;
  return at === 0 ? 0 : at;
}

export const asShare = (value: number): number => rounded(value, SHARE_DECIMALS);
export const plain = (value: number): number => rounded(value, PLAIN_DECIMALS);

export interface Figures {
  /** A number that is always known. */
  of(quantity: Quantity, value: number): number;
  /** Null for one that is not finite. */
  maybe(quantity: Quantity, value: number): number | null;
}

export function figuresIn(units: UnitSystemConverter): Figures {
  const of = (quantity: Quantity, value: number): number =>
    rounded(units.out(quantity, value), DECIMALS[quantity] ?? PLAIN_DECIMALS);
  return { of, maybe: (quantity, value) => (Number.isFinite(value) ? of(quantity, value) : null) };
}
