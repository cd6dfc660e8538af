/** Scales of values: ends on round numbers, so that a scale moves in steps and not with every sample. */

export interface ValueScale {
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

const ROUND = [1, 2, 2.5, 5, 10];

/** The smallest of 1, 2, 2.5, 5 × 10ⁿ that is not less than `least` (> 0). */
export function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return (ROUND.find((step) => step * power >= least * (1 - 1e-9)) ?? 10) * power;
}

/**
 * A scale that holds [low, high] with a mark at every whole step, at most `parts` + 1 of them; its ends lie on half steps.
 * @param fromZero starts at nought where all values lie above it.
 * @param least the shortest scale; a steady value is not blown up into noise.
 */
export function valueScale(low: number, high: number, parts: number, fromZero: boolean, least: number): ValueScale {
  if (!(low <= high)) return valueScale(0, least, parts, fromZero, least);
  const from = fromZero && low >= 0 ? 0 : low;
  const span = Math.max(least, high - from);
  const step = roundStep(span / parts);
  const half = step / 2;
  const min = Math.floor(from / half + 1e-9) * half;
  const max = Math.ceil(Math.max(high, from + span) / half - 1e-9) * half;
  return { min, max, step };
}

/** The values to mark: every whole step that lies on the scale. */
export function valueMarks(scale: ValueScale): number[] {
  const marks: number[] = [];
  const first = Math.ceil(scale.min / scale.step - 1e-9);
  for (let n = first; n * scale.step <= scale.max + scale.step * 1e-9; n++) marks.push(n * scale.step);
  return marks;
}

/** A number with thousands set apart by a thin space and a fixed number of decimals; "–" when not known. */
export function numberText(value: number, decimals: number): string {
  if (Number.isNaN(value)) return '–';
  const text = Math.abs(value).toFixed(decimals);
  const [whole, part] = text.split('.');
  const grouped = whole!.replace(/\B(?=(\d{3})+$)/g, '\u202f');
  const sign = value < 0 && Number(text) !== 0 ? '−' : '';
  return part === undefined ? `${sign}${grouped}` : `${sign}${grouped}.${part}`;
}
