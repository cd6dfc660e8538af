import { z } from 'zod/mini';
import { ingestStateSchema } from '../../../src/live/messages.ts';
import type { Route } from '../route.ts';

const countsSchema = z.extend(ingestStateSchema, {
  /** The pages that watch, and what they were refused, by reason. */
  pages: z.object({
    pages: z.int(),
    slow: z.int(),
    seq: z.int(),
    snapshots: z.int(),
    resumed: z.int(),
    refused: z.record(z.string(), z.int()),
    watching: z.int(),
  }),
});

export const ingestRoute: Route = {
  url: '/api/ingest',
  says: 'How the source fares: what came, what was refused and why; and how the pages fare.',
  answers: { 200: { says: 'The counts.', type: 'application/json', schema: countsSchema } },
  handle: ({ live, hub }): z.infer<typeof countsSchema> => ({ ...live.ingest(), pages: hub.counts() }),
};
