/** Where a reading and its bounds lie along a gauge, as shares of its length: the wanted range always in the same place. */

export interface GaugeBounds {
  readonly min: number | null;
  readonly max: number | null;
}

export interface GaugeMarks {
  /** Wanted range, from and to. */
  readonly bandFrom: number;
  readonly bandTo: number;
  /** The reading, held within the gauge; null for unknown. */
  readonly at: number | null;
  /** The reading lies beyond the end of the gauge: it is drawn as an arrow there. */
  readonly off: 'no' | 'above';
  readonly state: 'within' | 'below' | 'above' | 'unknown' | 'no bounds';
}

/** A gauge ends this far past its upper bound, or past its lower bound where there is no upper one. */
const PAST_MAX = 1.3;
const PAST_MIN_ALONE = 3;

/** All gauges start at zero; the far end depends on the bounds alone, so that the scale stands still. */
export function gaugeMarks(value: number | null, bounds: GaugeBounds): GaugeMarks {
  const { min, max } = bounds;
  const end = max !== null ? max * PAST_MAX : min !== null ? min * PAST_MIN_ALONE : null;
  if (end === null || end <= 0) {
    return { bandFrom: 0, bandTo: 0, at: null, off: 'no', state: value === null ? 'unknown' : 'no bounds' };
  }
  return {
    bandFrom: (min ?? 0) / end,
    bandTo: (max ?? end) / end,
    at: value === null ? null : Math.min(1, Math.max(0, value / end)),
    off: value !== null && value > end ? 'above' : 'no',
    state: stateOf(value, min, max),
  };
}

function stateOf(value: number | null, min: number | null, max: number | null): GaugeMarks['state'] {
  if (value === null) return 'unknown';
  if (min !== null && value < min) return 'below';
  if (max !== null && value > max) return 'above';
  return 'within';
}
