/** The tracks from top to bottom and the curves in them: one table. At most two curves a track, told apart by dash too. */
import { BREACHES } from '../../src/live/messages.ts';
import type { ValueColumn } from '../../src/traces/traceStore.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';

export interface Curve {
  readonly column: ValueColumn;
  readonly name: string;
  readonly quantity: Quantity;
  readonly decimals: Readonly<Record<UnitSystem, number>>;
  /** Whether the scale starts at nought, or where the data lies. */
  readonly scale: 'from zero' | 'around data';
  /** Share of the track's height that the curve keeps to, from the bottom; all of it when left out. */
  readonly height?: number;
  /** On the scale of the first curve, which holds both. */
  readonly onFirstScale?: true;
  /** Where this pressure is read: a breach is marked at the curve that the recipe is judged by. */
  readonly at?: PressureAt;
  /** The bit of `breach` that this curve's limit sets. */
  readonly limit?: keyof typeof BREACHES;
}

/** Which pressure a window is about. */
export type PressureAt = 'standpipe' | 'tool';

export interface Track {
  readonly curves: readonly [Curve, ...Curve[]];
  /** Columns of the recipe's window, drawn as a band in the scale of the first curve, which all curves share. */
  readonly band?: { readonly min: ValueColumn; readonly max: ValueColumn };
  /** Depth goes down the page. */
  readonly downwards?: true;
}

const whole = { metric: 0, field: 0 };
const tenth = { metric: 1, field: 1 };

export const TRACKS: readonly Track[] = [
  {
    curves: [
      {
        column: 'standpipePressure',
        name: 'Standpipe',
        quantity: 'pressure',
        decimals: whole,
        scale: 'from zero',
        at: 'standpipe',
        limit: 'pressure',
      },
      {
        column: 'toolPressure',
        name: 'At tool',
        quantity: 'pressure',
        decimals: whole,
        scale: 'from zero',
        onFirstScale: true,
        at: 'tool',
        limit: 'pressure',
      },
    ],
    band: { min: 'pressureMin', max: 'pressureMax' },
  },
  { curves: [{ column: 'flowIn', name: 'Flow in', quantity: 'flow', decimals: whole, scale: 'from zero' }] },
  {
    curves: [
      { column: 'torque', name: 'Torque', quantity: 'torque', decimals: tenth, scale: 'from zero', limit: 'torque' },
      {
        column: 'rotation',
        name: 'Rotation',
        quantity: 'rotation',
        decimals: whole,
        scale: 'from zero',
        limit: 'rotation',
      },
    ],
  },
  {
    curves: [
      {
        column: 'hookload',
        name: 'Hookload',
        quantity: 'force',
        decimals: { metric: 0, field: 1 },
        scale: 'from zero',
      },
      {
        column: 'setDown',
        name: 'Set-down',
        quantity: 'force',
        decimals: { metric: 0, field: 1 },
        scale: 'from zero',
      },
    ],
  },
  {
    curves: [
      {
        column: 'toolDepth',
        name: 'Tool depth',
        quantity: 'length',
        decimals: { metric: 2, field: 1 },
        scale: 'around data',
      },
      {
        column: 'feed',
        name: 'Feed',
        quantity: 'feed',
        decimals: { metric: 2, field: 1 },
        scale: 'from zero',
        height: 0.4,
        limit: 'feed',
      },
    ],
    downwards: true,
  },
];

/** Every column that the tracks draw. */
export const columnsOf = (tracks: readonly Track[]): ValueColumn[] =>
  tracks.flatMap((track) => [
    ...track.curves.map((curve) => curve.column),
    ...(track.band ? [track.band.min, track.band.max] : []),
  ]);

export const bitOf = (curve: Curve): number => (curve.limit === undefined ? 0 : BREACHES[curve.limit]);

/** The edge that marks a broken limit, told in the label by the same shape. */
export const edgeOf = (track: Track, c: number): 'top' | 'bottom' => (c === 0 && !track.downwards ? 'top' : 'bottom');
export const BREACH_SHAPES = { top: '▼', bottom: '◆' } as const;
