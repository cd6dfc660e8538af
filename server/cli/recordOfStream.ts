/** A recorded stream worked through the pipeline to its record: the same steps as the live service, at full speed. */
import { Subject } from 'rxjs';
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { pipeline } from '../../src/pipeline/pipeline.ts';
import { createRun, type PipelineInput } from '../../src/pipeline/run.ts';
import type { RunOptions } from '../../src/pipeline/runState.ts';
import type { Job } from '../../src/plan/job.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { createJournalFeed } from '../live/journalFeed.ts';
import { sourceCounts } from '../sourceCounts.ts';

export interface RecordedStream {
  readonly name: string;
  chunks(): AsyncIterable<Uint8Array>;
  /** When the chunk given last reached us, ms since 1970 UTC. Left out: the stream has no arrival of its own. */
  arrivalMs?(): number;
  /** Told after each chunk how many bytes have been read. */
  read?(bytes: number): void;
}

/** Made with the first bytes in hand, by which the format is recognised. @throws Fault `unknown format`. */
export type HeadReaderMaker = (head: Uint8Array, stream: Job['stream'], sink: (sample: Sample) => void) => StreamReader;

/** @throws Fault `unknown format`, `nothing usable`, and those of the stream itself. */
export async function recordOfStream(
  job: Job,
  journal: readonly JournalEntry[],
  stream: RecordedStream,
  makeReader: HeadReaderMaker,
  // Nobody is there to confirm a depth tag: it is applied, and the record says so.
  { tag = 'apply' }: RunOptions = {},
): Promise<RunRecord> {
  const run = createRun(job, { tag });
  const inputs = new Subject<PipelineInput>();
  inputs.pipe(pipeline(job, run)).subscribe();
  const feed = createJournalFeed(journal, (input) => inputs.next(input));
  let usable = false;
  const take = (sample: Sample) => {
    usable ||= hasDepth(sample);
    feed.sample(sample);
  };
  let reader: StreamReader | undefined;
  let bytes = 0;
  for await (const chunk of stream.chunks()) {
    reader ??= makeReader(chunk, job.stream, take);
    reader.push(chunk, stream.arrivalMs?.() ?? Number.NaN);
    bytes += chunk.length;
    stream.read?.(bytes);
  }
  reader?.end();
  feed.end();
  if (!reader || !usable) throw nothingUsable(stream.name, bytes, reader);
  return recordOf(run, sourceCounts(reader.counts));
}

/** A run without a single depth says nothing of any joint. */
export function hasDepth({ bitDepth, blockPosition }: Sample): boolean {
  return !Number.isNaN(bitDepth) || !Number.isNaN(blockPosition);
}

export function nothingUsable(name: string, bytes: number, reader: StreamReader | undefined): Fault {
  if (reader?.refusal) return new Fault('nothing usable', `${name}: ${reader.refusal}`);
  const frames = reader?.counts.frames ?? 0;
  return new Fault(
    'nothing usable',
    `${name}: found ${bytes} bytes with ${frames} frames and no usable sample, expected at least one`,
  );
}
