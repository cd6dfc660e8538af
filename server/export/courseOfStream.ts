/** A recorded stream read to its end: the course of the run, from which everything else is worked out. */
import type { Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { TagPolicy } from '../../src/pipeline/tagStep.ts';
import type { Job } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { Course } from '../../src/replay/course.ts';
import { addSample, createSampleColumns, MOST_ROWS } from '../../src/replay/sampleColumns.ts';
import { type HeadReaderMaker, hasDepth, nothingUsable, type RecordedStream } from '../cli/recordOfStream.ts';
import { sourceCounts } from '../sourceCounts.ts';

export interface ReadCourse {
  readonly course: Course;
  readonly source: SourceCounts;
}

export interface CourseInputs {
  readonly plan: Plan;
  /** As the stream is read. */
  readonly job: Job;
  readonly journal: readonly JournalEntry[];
  readonly tag: TagPolicy;
}

/** @throws Fault `unknown format`, `nothing usable`, `file too large`, and those of the stream itself */
export async function courseOfStream(
  { plan, job, journal, tag }: CourseInputs,
  stream: RecordedStream,
  makeReader: HeadReaderMaker,
): Promise<ReadCourse> {
  const samples = createSampleColumns();
  let usable = false;
  const take = (sample: Sample): void => {
    usable ||= hasDepth(sample);
    if (samples.rows < MOST_ROWS) addSample(samples, sample);
    else throw new Fault('file too large', `${stream.name}: found more than ${MOST_ROWS} samples, expected fewer`);
  };
  let reader: ReturnType<HeadReaderMaker> | undefined;
  let bytes = 0;
  for await (const chunk of stream.chunks()) {
    reader ??= makeReader(chunk, job.stream, take);
    reader.push(chunk, stream.arrivalMs?.() ?? Number.NaN);
    bytes += chunk.length;
    stream.read?.(bytes);
  }
  reader?.end();
  if (!reader || !usable) throw nothingUsable(stream.name, bytes, reader);
  return {
    course: { plan, tag, depthOffsetM: 0, samples, entries: journal },
    source: sourceCounts(reader.counts),
  };
}
