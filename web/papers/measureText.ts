/** What joints are compared by, in the viewer's units. */
import { MEASURES, type MeasureName } from '../../src/together/measures.ts';
import type { Together } from '../../src/together/togetherSchema.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figure, UNKNOWN, unitLabel } from '../figures.ts';

export function measureUnit(measure: MeasureName, system: UnitSystem): string {
  const { quantity, unit } = MEASURES[measure];
  return quantity === 'count' ? unit : unitLabel(quantity, system);
}

/** @param value in the inside unit; null: not known */
export function measureText(measure: MeasureName, value: number | null, system: UnitSystem): string {
  if (value === null) return UNKNOWN;
  const { quantity, decimals } = MEASURES[measure];
  return figure(quantity, value, system, quantity === 'count' ? decimals : undefined);
}

export function whyOdd({ measure, value, median, kind, count }: Together['odd'][number], system: UnitSystem): string {
  const text = (of: number): string => `${measureText(measure, of, system)} ${measureUnit(measure, system)}`.trim();
  const way = value > median ? 'above' : 'below';
  return `${MEASURES[measure].says} ${text(value)}, ${way} the ${text(median)} that is usual of ${count} ${kind} joints`;
}
