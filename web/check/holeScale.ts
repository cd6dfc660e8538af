/** Depth to screen for the hole against the tool: true to depth, long enough that each joint can be told from the next. */
import type { Check } from '../../src/check/checkSchema.ts';
import { spreadLabels } from '../liner/linerScale.ts';

export const SHARES = ['inGauge', 'overGauge', 'tight', 'noLog'] as const;
export type ShareName = (typeof SHARES)[number];
type HoleJoint = NonNullable<Check['hole']>['joints'][number];

export interface HoleRow {
  readonly joint: HoleJoint;
  readonly fromM: number;
  readonly toM: number;
}

export const holeRows = (joints: readonly HoleJoint[], inside: (value: number) => number): HoleRow[] =>
  joints.map((joint) => ({ joint, fromM: inside(joint.from), toM: inside(joint.to) }));

/** Dots of a metre at the least, dots that the shortest joint should have, and dots of the whole figure at the most. */
const LIMITS = { leastPerM: 2, shortest: 18, tallest: 3000, margin: 12, labelApart: 17 } as const;

export interface HoleScale {
  readonly height: number;
  readonly y: (depthM: number) => number;
  /** Where the words of each row stand. */
  readonly labels: readonly number[];
}

export function holeScale(rows: readonly HoleRow[], liner: readonly { top: number; bottom: number }[]): HoleScale {
  const tops = [...rows.map((row) => row.fromM), ...liner.map((joint) => joint.top)];
  const bottoms = [...rows.map((row) => row.toM), ...liner.map((joint) => joint.bottom)];
  const top = Math.min(...tops);
  const length = Math.max(...bottoms) - top;
  const shortest = Math.min(...rows.map((row) => row.toM - row.fromM));
  const wanted = Math.max(LIMITS.leastPerM, LIMITS.shortest / Math.max(shortest, 0.1));
  const perM = Math.min(wanted, LIMITS.tallest / Math.max(length, 1));
  const y = (depthM: number): number => LIMITS.margin + (depthM - top) * perM;
  const labels = spreadLabels(
    rows.map((row) => y((row.fromM + row.toM) / 2) + 5),
    LIMITS.labelApart,
  );
  const height = Math.ceil(Math.max(y(top + length), labels.at(-1) ?? 0) + LIMITS.margin);
  return { height, y, labels };
}
