/** What joints are compared by: one table. Values are in the inside units of their quantities. */
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import { converter, type Quantity } from '../units.ts';

export interface Measure {
  readonly says: string;
  readonly quantity: Quantity;
  /** What is shown of the unit where the quantity has none. */
  readonly unit: string;
  readonly decimals: number;
  /** A difference that is smaller matters to nobody, however rare it is (common practice). */
  readonly floor: number;
}

export const MEASURES = {
  feed: { says: 'mean feed', quantity: 'feed', unit: '', decimals: 2, floor: 0.1 },
  coverage: { says: 'coverage', quantity: 'count', unit: '', decimals: 3, floor: 0.01 },
  stalls: { says: 'stalls', quantity: 'count', unit: '', decimals: 0, floor: 1 },
  lowPressure: { says: 'not expanded for low pressure', quantity: 'length', unit: '', decimals: 2, floor: 0.2 },
  lowPressureMinutes: { says: 'low pressure', quantity: 'count', unit: 'min', decimals: 1, floor: 1 },
  connectionMinutes: { says: 'stand connections', quantity: 'count', unit: 'min', decimals: 1, floor: 3 },
  minutes: { says: 'time at work on it', quantity: 'count', unit: 'min', decimals: 1, floor: 3 },
  passes: { says: 'passes', quantity: 'count', unit: '', decimals: 0, floor: 1 },
  pressure: { says: 'mean pressure', quantity: 'pressure', unit: '', decimals: 0, floor: 200 },
} as const satisfies Record<string, Measure>;

export type MeasureName = keyof typeof MEASURES;
export const MEASURE_NAMES = Object.keys(MEASURES) as [MeasureName, ...MeasureName[]];

/** Null: it is not known of this joint. */
export type MeasureValues = Readonly<Record<MeasureName, number | null>>;

/** @param record that the joint is of */
export function measuresOf(joint: RecordJoint, record: RunRecord): MeasureValues {
  const units = converter(record.units);
  const low = joint.gaps
    .filter(({ cause }) => cause === 'low pressure')
    .reduce((sum, { from, to }) => sum + to - from, 0);
  return {
    feed: joint.feed === null ? null : units.in('feed', joint.feed.mean),
    coverage: joint.coverage,
    stalls: joint.stalls,
    lowPressure: units.in('length', low),
    lowPressureMinutes: lowPressureMinutes(joint.name, record),
    connectionMinutes: connectionMinutes(joint.name, record),
    minutes: joint.minutes,
    passes: joint.passes,
    pressure: joint.pressure === null ? null : units.in('pressure', joint.pressure.mean),
  };
}

const minutesOf = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 60_000;

/** Also where a later pass made it good. */
function lowPressureMinutes(name: string, { events, source }: RunRecord): number {
  const own = events.filter(({ kind, joint }) => kind === 'low pressure' && joint === name);
  return own.reduce((sum, { from, to }) => sum + minutesOf(from, to ?? source.to), 0);
}

/** Stands that were added while a tool was in the joint. */
function connectionMinutes(name: string, { phases }: RunRecord): number {
  const own = phases.filter(({ phase, joint }) => phase === 'making connection' && joint === name);
  return own.reduce((sum, { from, to }) => sum + minutesOf(from, to), 0);
}
