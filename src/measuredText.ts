/** Words with measured values in them, put into units only where somebody reads them. */
import { z } from 'zod/mini';
import { QUANTITIES } from './units.ts';

export { inUnits } from './inUnits.ts';

/** A value in the inside unit of its quantity. */
export const measureSchema = z.object({
  quantity: z.enum(QUANTITIES),
  value: z.number(),
  decimals: z.int().check(z.minimum(0), z.maximum(6)),
});
export type Measure = z.infer<typeof measureSchema>;

/** Plain words, or words and measures in turn. */
export const measuredTextSchema = z.union([z.string(), z.array(z.union([z.string(), measureSchema]))]);
export type MeasuredText = z.infer<typeof measuredTextSchema>;
