/** A recorded run as a stream to be read again, in the way in which it was read when it was recorded. */
import type { StreamFormat } from '../../ingest/recognise.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { RunReader } from '../keep/runReader.ts';
import { READERS } from '../readers.ts';
import { keptBytes, keptJournal, keptSource } from '../recording/keptRun.ts';
import type { KeptSource } from '../recording/keptSource.ts';
import type { HeadReaderMaker, RecordedStream } from './recordOfStream.ts';

export interface KeptStream {
  readonly journal: readonly JournalEntry[];
  readonly stream: RecordedStream;
  readonly makeReader: HeadReaderMaker;
  readonly tag: KeptSource['tag'];
}

/**
 * @param pause waited for between two chunks, where others have work too
 * @throws Fault `nothing usable`: the run ended before its source was told of
 */
export function keptStream(run: RunReader, read: (bytes: number) => void, pause?: () => Promise<void>): KeptStream {
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
  return {
    journal: keptJournal(run),
    stream: { name: `run ${id}`, chunks, arrivalMs: () => arrivalMs, read },
    makeReader: (_, stream, sink) => {
      const make = (as: StreamFormat) => READERS[as](stream, sink, options);
      return format === null ? createRecognisedReader(make) : make(format);
    },
    tag,
  };
}
