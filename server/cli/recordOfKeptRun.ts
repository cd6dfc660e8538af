/** A recorded run worked through again from its truth, as it was read when it was recorded. */
import type { Job } from '../../src/plan/job.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { RunReader } from '../keep/runReader.ts';
import { keptStream } from './keptStream.ts';
import { recordOfStream } from './recordOfStream.ts';

/**
 * @param pause waited for between two chunks, where others have work too
 * @throws Fault `nothing usable`, and those of the stream itself
 */
export async function recordOfKeptRun(
  run: RunReader,
  job: Job,
  read: (bytes: number) => void,
  pause?: () => Promise<void>,
): Promise<RunRecord> {
  const { journal, stream, makeReader, tag } = keptStream(run, read, pause);
  return recordOfStream(job, journal, stream, makeReader, { tag });
}
