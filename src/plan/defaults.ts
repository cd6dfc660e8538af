/**
 * Values that are used where the plan gives none. Each one that was used is listed in the check and in the record as a
 * default to be confirmed: none of them is a limit of a tool. Where no source is named they are common practice.
 */
import type { Quantity } from '../units.ts';

export interface PlanDefault {
  /** In the inside unit of its quantity. */
  readonly value: number;
  readonly quantity: Quantity;
  readonly decimals: number;
  readonly what: string;
}

const row = (value: number, quantity: Quantity, decimals: number, what: string): PlanDefault => ({
  value,
  quantity,
  decimals,
  what,
});

/** By the place in the plan that would say otherwise. */
export const PLAN_DEFAULTS = {
  'limits.drift.share': row(0.05, 'count', 2, 'share by which the two pressures at the tool may drift apart'),
  'limits.pumpMismatch.share': row(0.08, 'count', 2, 'share by which flow and stroke rate may differ'),
  'limits.tanks.gain': row(1, 'volume', 1, 'gain of the active tank'),
  'limits.tanks.loss': row(2, 'volume', 1, 'loss from the active tank'),
  'limits.flowDifference.share': row(0.12, 'count', 2, 'share by which flow out may differ from flow in'),
  'limits.stickSlip.share': row(0.3, 'count', 2, 'swing of torque as a share of its mean'),
  'surface.pumps.efficiency': row(0.97, 'count', 2, 'volumetric efficiency of a pump'),
  'depthTag.repeatability': row(0.05, 'length', 2, '1σ of the same depth tag done again'),
  'balls.slowBefore': row(2.4, 'volume', 1, 'volume before the seat at which the pumps are slowed'),
  'balls.slowFlow': row(160, 'flow', 0, 'flow of the slowed pumps'),
  'balls.overdueAfter': row(2.4, 'volume', 1, 'volume after the seat at which a ball is overdue'),
} as const satisfies Record<string, PlanDefault>;
export type DefaultPlace = keyof typeof PLAN_DEFAULTS;
