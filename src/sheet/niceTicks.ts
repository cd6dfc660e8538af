/** Round numbers along an axis. */

const STEPS = [1, 2, 2.5, 5, 10];

/** The least round step with which `span` has at most `most` of them. */
export function niceStep(span: number, most: number): number {
  const rough = span / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = STEPS.find((one) => one * power >= rough * (1 - 1e-9)) ?? 10;
  return step * power;
}

/** A range that its ends are ticks of. @param values at least one finite; a range of nothing is widened */
export function niceRange(values: Iterable<number>, most: number): { from: number; to: number; step: number } {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (low > high) return { from: 0, to: 1, step: 1 };
  if (high - low < 1e-9 * Math.max(1, Math.abs(high))) {
    low -= 0.5;
    high += 0.5;
  }
  const step = niceStep(high - low, most);
  return { from: Math.floor(low / step + 1e-9) * step, to: Math.ceil(high / step - 1e-9) * step, step };
}

/** Multiples of `step` within [from, to]. */
export function ticksWithin(from: number, to: number, step: number): number[] {
  const ticks: number[] = [];
  const last = Math.floor(to / step + 1e-9);
  for (let i = Math.ceil(from / step - 1e-9); i <= last; i += 1) ticks.push(i * step);
  return ticks;
}

/** Decimals that tell one tick from the next. */
export const stepDecimals = (step: number): number => {
  for (let decimals = 0; decimals < 6; decimals += 1) {
    if (Math.abs(Math.round(step * 10 ** decimals) / 10 ** decimals - step) < 1e-9 * step) return decimals;
  }
  return 6;
};
