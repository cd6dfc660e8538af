/** The records of one stream under several plans, and what is different, `jointwise-comparison/1`. */
import { z } from 'zod/mini';
import { VERDICTS } from '../causes.ts';
import { unitSystemSchema } from '../plan/planSchema.ts';
import { eventSchema, recordSchema } from '../record/recordSchema.ts';

export const COMPARISON_FORMAT = 'jointwise-comparison/1';

const verdict = z.nullable(z.enum(VERDICTS));

export const comparisonSchema = z.object({
  format: z.literal(COMPARISON_FORMAT),
  /** In the order in which they were named; the first is what the others stand beside. */
  plans: z.array(z.object({ plan: z.string(), record: recordSchema })).check(z.minLength(2)),
  /** One for each plan after the first, in its units. */
  differences: z.array(
    z.object({
      plan: z.string(),
      units: unitSystemSchema,
      joints: z.array(
        z.object({
          name: z.string(),
          before: verdict,
          after: verdict,
          expandedBefore: z.number(),
          expandedAfter: z.number(),
          gained: z.number(),
          lost: z.number(),
        }),
      ),
      alike: z.int(),
      eventsCome: z.array(eventSchema),
      eventsGone: z.array(eventSchema),
      gained: z.number(),
      lost: z.number(),
    }),
  ),
});
export type ComparisonFile = z.infer<typeof comparisonSchema>;
