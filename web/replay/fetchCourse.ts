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

/** Of the run that is looked at, or of one of the library by its id. */
const pathOf = (run: string | null, what: string): string =>
  run === null ? apiOf(what) : `/api/runs/${encodeURIComponent(run)}/${what}`;

/** Rejects when the service does not answer with a course. @param run of the library; null: the one that is looked at */
export async function fetchCourse(run: string | null = null): Promise<FetchedCourse> {
  const answer = await askService(pathOf(run, 'course'));
  return courseSchema.parse(await answer.json());
}

/** The samples as they came over the wire. @param fromRow samples that are known already */
export async function fetchSamples(fromRow: number, run: string | null = null): Promise<Uint8Array> {
  const answer = await askService(`${pathOf(run, 'samples')}?fromRow=${fromRow}`);
  return new Uint8Array(await answer.arrayBuffer());
}

/** @param body is posted where there is one @throws Error in the service's own words when it refuses */
export async function askService(url: string, body?: object): Promise<Response> {
  const posted = body && {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  };
  const answer = await fetch(url, { ...posted, signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
  if (answer.ok) return answer;
  const said = refusedSchema.safeParse(await answer.json().catch(() => null));
  throw new Error(said.success ? said.data.error : `the service answered ${answer.status}`);
}
