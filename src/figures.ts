/**
 * Numbers as they stand on the page and on printed sheets: converted to the viewer's units, rounded to what the reading can bear, grouped by
 * narrow spaces (ISO 80000-1, 7.3), with a true minus sign. Unknown is a dash, never a zero.
 */
import { converter, type Quantity, SYSTEM_UNITS, UNITS, type UnitSystem } from './units.ts';

export const UNKNOWN = '–';
const THIN_SPACE = '\u202f';
const MINUS = '\u2212';

/** Decimals shown, metric and field. Depths in feet to a tenth are finer than in metres to a tenth. */
const DECIMALS: Readonly<Partial<Record<Quantity, readonly [metric: number, field: number]>>> = {
  length: [2, 1],
  pressure: [0, 0],
  force: [0, 0],
  torque: [1, 1],
  flow: [0, 0],
  rotation: [0, 0],
  feed: [2, 1],
};

/** Decimals that a quantity is shown with. */
export const shownDecimals = (quantity: Quantity, system: UnitSystem): number =>
  DECIMALS[quantity]?.[system === 'metric' ? 0 : 1] ?? 0;

/** Groups of three, alike in all columns. */
export function groupDigits(text: string): string {
  const [whole = '', part] = text.split('.');
  const groups: string[] = [];
  for (let end = whole.length; end > 0; end -= 3) groups.unshift(whole.slice(Math.max(0, end - 3), end));
  const grouped = groups.join(THIN_SPACE);
  return part === undefined ? grouped : `${grouped}.${part}`;
}

export function decimal(value: number, decimals: number): string {
  const text = groupDigits(Math.abs(value).toFixed(decimals));
  const isZero = !/[1-9]/.test(text);
  return value < 0 && !isZero ? MINUS + text : text;
}

/**
 * @param value in the inside unit of the quantity; null or not finite for unknown
 * @param decimals other than the quantity's own
 */
export function figure(
  quantity: Quantity,
  value: number | null | undefined,
  system: UnitSystem,
  decimals: number = shownDecimals(quantity, system),
): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return UNKNOWN;
  return decimal(converter(system).out(quantity, value), decimals);
}

export const unitLabel = (quantity: Quantity, system: UnitSystem): string =>
  UNITS[SYSTEM_UNITS[system][quantity]].label;

/** A number and its unit, for running text. */
export const figureWithUnit = (quantity: Quantity, value: number | null, system: UnitSystem): string =>
  `${figure(quantity, value, system)} ${unitLabel(quantity, system)}`.trim();

export const percent = (share: number): string => `${decimal(Math.floor(share * 1000 + 1e-6) / 10, 1)}`;

/** How long, in words short enough for a strip: `0.8 s`, `12 s`, `3 min 05 s`, `2 h 14 min`. */
export function span(seconds: number): string {
  if (!Number.isFinite(seconds)) return UNKNOWN;
  if (seconds < 10) return `${Math.max(0, seconds).toFixed(1)} s`;
  if (seconds < 100) return `${Math.floor(seconds)} s`;
  if (seconds < 3600) return `${Math.floor(seconds / 60)} min ${String(Math.floor(seconds % 60)).padStart(2, '0')} s`;
  return `${Math.floor(seconds / 3600)} h ${String(Math.floor((seconds % 3600) / 60)).padStart(2, '0')} min`;
}

/** An age for a big dial: `6.6` s, `42` s, `3:05` min, `1:02:10` h. */
export function ageParts(seconds: number): { readonly number: string; readonly unit: string } {
  if (!Number.isFinite(seconds)) return { number: UNKNOWN, unit: '' };
  if (seconds < 10) return { number: Math.max(0, seconds).toFixed(1), unit: 's' };
  const s = Math.floor(seconds);
  if (s < 100) return { number: String(s), unit: 's' };
  if (s < 3600) return { number: `${Math.floor(s / 60)}:${two(s % 60)}`, unit: 'min' };
  return { number: `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`, unit: 'h' };
}

const two = (n: number): string => String(n).padStart(2, '0');

/** Time of day on the rig's clock: UTC and the plan's offset. */
export function rigTime(ms: number, offsetMs: number): string {
  const at = new Date(ms + offsetMs);
  return `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}:${two(at.getUTCSeconds())}`;
}

export function rigDate(ms: number, offsetMs: number): string {
  const at = new Date(ms + offsetMs);
  return `${at.getUTCFullYear()}-${two(at.getUTCMonth() + 1)}-${two(at.getUTCDate())}`;
}

export function offsetLabel(offsetMs: number): string {
  if (offsetMs === 0) return 'UTC';
  const minutes = Math.abs(offsetMs) / 60_000;
  return `UTC${offsetMs < 0 ? MINUS : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
