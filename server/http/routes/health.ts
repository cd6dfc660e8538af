import { z } from 'zod/mini';
import { LINKS } from '../../../src/live/messages.ts';
import type { Route } from '../route.ts';

const healthSchema = z.object({
  status: z.enum(['ok', 'no source', 'library only']),
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
  handle(served): z.infer<typeof healthSchema> {
    const { hub, version, startedMs, nowMs } = served;
    const common = { version, upSeconds: Math.round((nowMs() - startedMs) / 1000), pages: hub.counts().pages };
    if (served.hasLive?.() === false) {
      return { status: 'library only', ...common, run: '', link: 'ended', sampleAgeMs: null };
    }
    const { live } = served;
    const { link } = live.ingest();
    const arrivalMs = live.lastArrivalMs();
    return {
      status: link === 'lost' || link === 'connecting' ? 'no source' : 'ok',
      ...common,
      run: live.run,
      link,
      sampleAgeMs: arrivalMs === null ? null : nowMs() - arrivalMs,
    };
  },
};
