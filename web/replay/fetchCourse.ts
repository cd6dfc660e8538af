/** Asks the service of this page for what the run is counted from. */
import { z } from 'zod/mini';
import { journalEntrySchema } from '../../src/journal/journalSchema.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { apiOf } from '../recorded.ts';
import type { FetchedCourse } from '../worker/replayProtocol.ts';

const ANSWER_WITHIN_MS = 120_000;

const courseSchema = z.object({
  run: z.string(),
  plan: planSchema,
  tag: z.enum(['offer', 'apply']),
  entries: z.array(journalEntrySchema),
  source: z.object({ frames: z.number(), rejected: z.number(), reasons: z.record(z.string(), z.number()) }),
});
const refusedSchema = z.object({ error: z.string() });

/** Rejects when the service does not answer with a course. */
export async function fetchCourse(): Promise<FetchedCourse> {
  const answer = await ask(apiOf('course'));
  return courseSchema.parse(await answer.json());
}

/** The samples as they came over the wire. @param fromRow samples that are known already */
export async function fetchSamples(fromRow: number): Promise<Uint8Array> {
  const answer = await ask(`${apiOf('samples')}?fromRow=${fromRow}`);
  return new Uint8Array(await answer.arrayBuffer());
}

async function ask(url: string): Promise<Response> {
  const answer = await fetch(url, { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
  if (answer.ok) return answer;
  const said = refusedSchema.safeParse(await answer.json().catch(() => null));
  throw new Error(said.success ? said.data.error : `the service answered ${answer.status}`);
}
