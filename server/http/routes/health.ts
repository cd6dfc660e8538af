import { z } from 'zod/mini';
import { LINKS } from '../../../src/live/messages.ts';
import type { Route } from '../route.ts';

const healthSchema = z.object({
  status: z.enum(['ok', 'no source']),
  version: z.string(),
  run: z.string(),
  upSeconds: z.number(),
  link: z.enum(LINKS),
  /** Our clock less the arrival of the last sample. */
  sampleAgeMs: z.nullable(z.number()),
  pages: z.int(),
});

export const healthRoute: Route = {
  url: '/health',
  says: 'Whether the service runs and its source delivers.',
  answers: { 200: { says: 'It runs.', type: 'application/json', schema: healthSchema } },
  handle({ live, hub, version, startedMs, nowMs }): z.infer<typeof healthSchema> {
    const { link } = live.ingest();
    const arrivalMs = live.lastArrivalMs();
    return {
      status: link === 'lost' || link === 'connecting' ? 'no source' : 'ok',
      version,
      run: live.run,
      upSeconds: Math.round((nowMs() - startedMs) / 1000),
      link,
      sampleAgeMs: arrivalMs === null ? null : nowMs() - arrivalMs,
      pages: hub.counts().pages,
    };
  },
};
