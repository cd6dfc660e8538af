/** Numbers as files for others hold them: fixed notation, a decimal point, as many digits as it takes to read the same back. */
import { fromInside, toInside, UNITS, type UnitName } from '../units.ts';

/** Significant digits that are tried in turn; 17 tell any two numbers apart (IEEE 754 double precision). */
const DIGITS = [6, 9, 12, 15, 17] as const;

/** Never an exponent: LAS 2.0 allows none. What is smaller than 1e-20 in the unit that is written is 0. */
export function fixedText(value: number): string {
  const text = String(value);
  if (!text.includes('e')) return text === '-0' ? '0' : text;
  if (Math.abs(value) >= 1) return BigInt(value).toString();
  let fixed = value.toFixed(20);
  while (fixed.endsWith('0')) fixed = fixed.slice(0, -1);
  return fixed === '0.' || fixed === '-0.' ? '0' : fixed;
}

/**
 * A value from inside in a named unit, so that reading the text gives exactly the same value inside wherever some text does.
 * @param value in the inside unit of the quantity; finite
 */
export function exactText(value: number, unit: UnitName): string {
  const { scale, offset } = UNITS[unit];
  if (scale === 1 && offset === 0) return fixedText(value);
  const out = fromInside(value, unit);
  for (const digits of DIGITS) {
    const written = Number(out.toPrecision(digits));
    if (toInside(written, unit) === value) return fixedText(written);
  }
  return fixedText(neighbour(out, value, unit));
}

/** The number next to `out` that comes back as `value`; `out` itself where none does. */
function neighbour(out: number, value: number, unit: UnitName): number {
  const step = Math.abs(out) * Number.EPSILON;
  for (const steps of [0.5, -0.5, 1, -1, 1.5, -1.5, 2, -2]) {
    const near = out + steps * step;
    if (toInside(near, unit) === value) return near;
  }
  return out;
}

/** The same with no more than so many decimals: for what is worked out, and known no better. */
export function roundedText(value: number, unit: UnitName, decimals: number): string {
  const text = fromInside(value, unit).toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}
