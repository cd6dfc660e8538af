import { z } from 'zod';
import { ingestStateSchema } from '../../../src/live/messages.ts';
import type { Route } from '../route.ts';

const countsSchema = ingestStateSchema.extend({
  /** The pages that watch, and what they were refused, by reason. */
  pages: z.object({
    pages: z.number().int(),
    slow: z.number().int(),
    seq: z.number().int(),
    snapshots: z.number().int(),
    resumed: z.number().int(),
    refused: z.record(z.string(), z.number().int()),
    watching: z.number().int(),
  }),
});

export const ingestRoute: Route = {
  url: '/api/ingest',
  says: 'How the source fares: what came, what was refused and why; and how the pages fare.',
  answers: { 200: { says: 'The counts.', type: 'application/json', schema: countsSchema } },
  handle: ({ live, hub }): z.infer<typeof countsSchema> => ({ ...live.ingest(), pages: hub.counts() }),
};
