/** The bytes of a recorded run as they were read when it was recorded. */
import type { StreamFormat } from '../../ingest/recognise.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import { Fault } from '../../src/fault.ts';
import type { TagPolicy } from '../../src/pipeline/tagStep.ts';
import type { RunReader } from '../keep/runReader.ts';
import { READERS } from '../readers.ts';
import { keptBytes, keptSource } from '../recording/keptRun.ts';
import type { HeadReaderMaker, RecordedStream } from './recordOfStream.ts';

export interface KeptStream {
  readonly stream: RecordedStream;
  readonly makeReader: HeadReaderMaker;
  readonly tag: TagPolicy;
}

/** @throws Fault `nothing usable` */
export function keptStream(run: RunReader, read: (bytes: number) => void): KeptStream {
  const { id } = run.info();
  const source = keptSource(run);
  if (!source) throw new Fault('nothing usable', `run ${id}: found no source, expected one`);
  let arrivalMs = Number.NaN;
  async function* chunks(): AsyncGenerator<Uint8Array> {
    for (const kept of keptBytes(run, source!.arrival)) {
      arrivalMs = kept.arrivalMs;
      yield kept.bytes;
    }
  }
  const { pollPayload, format, tag } = source;
  const options = pollPayload === undefined ? {} : { pollPayload };
  return {
    stream: { name: `run ${id}`, chunks, arrivalMs: () => arrivalMs, read },
    makeReader: (_, stream, sink) => {
      const make = (as: StreamFormat) => READERS[as](stream, sink, options);
      return format === null ? createRecognisedReader(make) : make(format);
    },
    tag,
  };
}
