/** Values in words: what each curve reads now or under the cursor, for the eye and for a screen reader. */
import type { TraceBuckets } from '../../src/traces/traceBuckets.ts';
import { rowCount, type TraceStore, VALUE_INDEX } from '../../src/traces/traceStore.ts';
import type { UnitSystemConverter } from '../../src/units.ts';
import { clockText, momentText } from './timeAxis.ts';
import { bitOf, type Curve, type PressureAt, TRACKS } from './tracks.ts';
import { numberText } from './valueScale.ts';

export interface Reading {
  /** Without the unit: `9 120`, `9 120–9 650` where a bucket spans several, "–" when not known. */
  readonly text: string;
  /** The curve's limit is broken. */
  readonly breach: boolean;
}

export const CURVES: readonly Curve[] = TRACKS.flatMap((track) => track.curves);

/** Whether this curve is the one that a window is about; a curve without a place always is. */
export const isJudged = (curve: Curve, at: PressureAt): boolean => curve.at === undefined || curve.at === at;

function reading(
  curve: Curve,
  min: number,
  max: number,
  breach: number,
  units: UnitSystemConverter,
  at: PressureAt,
): Reading {
  const decimals = curve.decimals[units.system];
  const low = numberText(units.out(curve.quantity, min), decimals);
  const high = numberText(units.out(curve.quantity, max), decimals);
  return { text: low === high ? low : `${low}…${high}`, breach: (breach & bitOf(curve)) !== 0 && isJudged(curve, at) };
}

/** The newest row, one reading for each of `CURVES`; `judged`: which pressure the window in force is about. */
export function newestReadings(store: TraceStore, units: UnitSystemConverter, judged: PressureAt): Reading[] {
  const at = rowCount(store) - 1;
  const level = store.levels[0]!;
  return CURVES.map((curve) => {
    const value = at < 0 ? Number.NaN : level.min[VALUE_INDEX[curve.column]]![at]!;
    return reading(curve, value, value, at < 0 ? 0 : level.breach[at]!, units, judged);
  });
}

/** Bucket `i`, one reading for each of `CURVES`. */
export function bucketReadings(
  buckets: TraceBuckets,
  i: number,
  units: UnitSystemConverter,
  judged: PressureAt,
): Reading[] {
  return CURVES.map((curve) => {
    const column = buckets.columns.find((each) => each.name === curve.column)!;
    return reading(curve, column.min[i]!, column.max[i]!, buckets.breach[i]!, units, judged);
  });
}

/** When a bucket was: one moment, or from the first to the last of its rows. */
export function bucketMoment(buckets: TraceBuckets, i: number, offsetMs: number): string {
  const first = momentText(buckets.firstMs[i]!, offsetMs);
  const last = clockText(buckets.lastMs[i]!, offsetMs);
  return first.endsWith(last) ? first : `${first} to ${last}`;
}

/** Readings as a sentence. */
export function readingsInWords(readings: readonly Reading[], units: UnitSystemConverter): string {
  return CURVES.map((curve, i) => {
    const { text, breach } = readings[i]!;
    const value = text === '–' ? 'not known' : `${text.replace('…', ' to ')} ${units.label(curve.quantity)}`;
    return `${curve.name} ${value}${breach ? ', outside its limit' : ''}`;
  }).join('; ');
}
