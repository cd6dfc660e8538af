/** A plain run over bytes: no queue, no tickets, no kept state; what a recorded one is held against. */
import { Subject } from 'rxjs';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { createJournalFeed } from '../../server/live/journalFeed.ts';
import { sourceCounts } from '../../server/sourceCounts.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { pipeline } from '../../src/pipeline/pipeline.ts';
import { createRun, type PipelineInput } from '../../src/pipeline/run.ts';
import { nowOf } from '../../src/pipeline/view.ts';
import type { Job } from '../../src/plan/job.ts';
import { recordOf } from '../../src/record/record.ts';

export interface Given {
  readonly bytes: Uint8Array;
  readonly arrivalMs: number;
}

/** @param how `goes on`: more may come, so that what waits for a confirmation still waits */
export function plainRecord(
  job: Job,
  given: readonly Given[],
  journal: readonly JournalEntry[],
  how: 'ended' | 'goes on',
): string {
  const run = createRun(job);
  const inputs = new Subject<PipelineInput>();
  inputs.pipe(pipeline(job, run)).subscribe();
  const feed = createJournalFeed(journal, (input) => inputs.next(input));
  const reader = createWitsReader(job.stream, (sample) => feed.sample(sample));
  for (const { bytes, arrivalMs } of given) reader.push(bytes, arrivalMs);
  if (how === 'ended') {
    reader.end();
    feed.end();
  } else feed.upTo(run.lastMs + 1);
  return JSON.stringify(nowOf(run) ? recordOf(run, sourceCounts(reader.counts)) : null);
}
