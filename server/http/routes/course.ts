import { z } from 'zod/mini';
import { journalEntrySchema } from '../../../src/journal/journalSchema.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import type { Route } from '../route.ts';

export const courseSchema = z.object({
  run: z.string(),
  /** The plan that the run began with. */
  plan: planSchema,
  tag: z.enum(['offer', 'apply']),
  /** What people did and was worked in, in order. */
  entries: z.array(journalEntrySchema),
  source: z.object({ frames: z.number(), rejected: z.number(), reasons: z.record(z.string(), z.number()) }),
});

export const courseRoute: Route = {
  url: '/api/course',
  says: 'What the run is counted from, beside its samples: the plan it began with and what people did, so far.',
  answers: { 200: { says: 'The course of the run.', type: 'application/json', schema: courseSchema } },
  handle: ({ live }) => live.course(),
};
