/** A recorded stream read into the course of its run: what a report is worked out from. */
import type { StreamReader } from '../../ingest/streamReader.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { TagPolicy } from '../../src/pipeline/tagStep.ts';
import type { Job } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { Course } from '../../src/replay/course.ts';
import { addSample, createSampleColumns, MOST_ROWS } from '../../src/replay/sampleColumns.ts';
import type { HeadReaderMaker, RecordedStream } from '../cli/recordOfStream.ts';
import { sourceCounts } from '../sourceCounts.ts';

export interface ReadCourse {
  readonly course: Course;
  readonly source: SourceCounts;
}

/**
 * @param job of `plan`, with the channel map that the stream is read by
 * @throws Fault `unknown format`, `nothing usable`, and those of the stream itself
 */
export async function readCourse(
  { plan, job }: { readonly plan: Plan; readonly job: Job },
  entries: readonly JournalEntry[],
  tag: TagPolicy,
  stream: RecordedStream,
  makeReader: HeadReaderMaker,
): Promise<ReadCourse> {
  const samples = createSampleColumns();
  let reader: StreamReader | undefined;
  let bytes = 0;
  for await (const chunk of stream.chunks()) {
    reader ??= makeReader(chunk, job.stream, (sample) => {
      if (samples.rows < MOST_ROWS) addSample(samples, sample);
      else
        throw new Fault(
          'file too large',
          `${stream.name}: found more than ${MOST_ROWS} samples, expected at most so many`,
        );
    });
    reader.push(chunk, stream.arrivalMs?.() ?? Number.NaN);
    bytes += chunk.length;
    stream.read?.(bytes);
  }
  reader?.end();
  if (!reader || samples.rows === 0) {
    const why = reader?.refusal ?? `found ${bytes} bytes without a sample, expected at least one`;
    throw new Fault('nothing usable', `${stream.name}: ${why}`);
  }
  return { course: { plan, tag, depthOffsetM: 0, samples, entries }, source: sourceCounts(reader.counts) };
}
