/** Words with measured values in them, put into units only where somebody reads them. */
import { z } from 'zod';
import { converter, QUANTITIES, type UnitSystem } from './units.ts';

/** A value in the inside unit of its quantity. */
export const measureSchema = z.object({
  quantity: z.enum(QUANTITIES),
  value: z.number(),
  decimals: z.number().int().min(0).max(6),
});
export type Measure = z.infer<typeof measureSchema>;

/** Plain words, or words and measures in turn. */
export const measuredTextSchema = z.union([z.string(), z.array(z.union([z.string(), measureSchema]))]);
export type MeasuredText = z.infer<typeof measuredTextSchema>;

/** The words with every measure in the units of one system. */
export function inUnits(text: MeasuredText, system: UnitSystem): string {
  if (typeof text === 'string') return text;
  const units = converter(system);
  return text
    .map((part) => {
      if (typeof part === 'string') return part;
      const label = units.label(part.quantity);
      // A small negative value is printed as 0, not as -0.
      const value = units
        .out(part.quantity, part.value)
        .toFixed(part.decimals)
        .replace(/^-(0(\.0+)?)$/, '$1');
      return label ? `${value} ${label}` : value;
    })
    .join('');
}
