/** A recorded run worked through again from its truth, as it was read when it was recorded. */
import type { StreamFormat } from '../../ingest/recognise.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { RunReader } from '../keep/runReader.ts';
import { READERS } from '../readers.ts';
import { keptBytes, keptJournal, keptSource } from '../recording/keptRun.ts';
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
  const { id } = run.info();
  const source = keptSource(run);
  if (!source) throw new Fault('nothing usable', `run ${id}: found no source, expected one`);
  let arrivalMs = Number.NaN;
  async function* chunks(): AsyncGenerator<Uint8Array> {
    for (const kept of keptBytes(run, source!.arrival)) {
      arrivalMs = kept.arrivalMs;
      yield kept.bytes;
      await pause?.();
    }
  }
  const { pollPayload, format, tag } = source;
  const options = pollPayload === undefined ? {} : { pollPayload };
  return recordOfStream(
    job,
    keptJournal(run),
    { name: `run ${id}`, chunks, arrivalMs: () => arrivalMs, read },
    (_, stream, sink) => {
      const make = (as: StreamFormat) => READERS[as](stream, sink, options);
      return format === null ? createRecognisedReader(make) : make(format);
    },
    { tag },
  );
}
