/** A recorded stream read through before it is taken into the library, and then taken in, its bytes as they are. */
import { rm } from 'node:fs/promises';
import { type Preview, preview } from '../../ingest/preview.ts';
import type { StreamFormat } from '../../ingest/recognise.ts';
import type { ReaderCounts } from '../../ingest/streamReader.ts';
import { CHANNEL_IDS, type Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { Job } from '../../src/plan/job.ts';
import { type RunLibrary, runFolder } from '../keep/runLibrary.ts';
import type { RunWriter } from '../keep/runWriter.ts';
import { formatOf, READERS } from '../readers.ts';
import type { KeptSource } from './keptSource.ts';

/** Bytes from the start of the stream whose columns are shown. */
const PREVIEW_BYTES = 1024 * 1024;

export interface GivenStream {
  readonly name: string;
  /** From the start, each time. */
  chunks(): AsyncIterable<Uint8Array>;
}

/** What a stream was found to be when it was read through. */
export interface ReadThrough {
  readonly format: StreamFormat;
  /** Of its first part: the columns and their units. */
  readonly head: Preview;
  readonly counts: ReaderCounts;
  /** Samples with a valid value, by channel. */
  readonly values: Readonly<Record<string, number>>;
  readonly notes: readonly string[];
  readonly firstMs: number;
  readonly lastMs: number;
}

/** @param read told how many bytes have been read @throws Fault `unknown format`, `nothing usable` */
export async function readThrough(
  stream: GivenStream,
  as: Job['stream'],
  forced: StreamFormat | undefined,
  read: (bytes: number) => void,
): Promise<ReadThrough> {
  let head: Uint8Array = new Uint8Array(0);
  const span = { firstMs: Number.NaN, lastMs: Number.NaN };
  const values: Record<string, number> = {};
  const take = (sample: Sample) => {
    if (Number.isNaN(span.firstMs)) span.firstMs = sample.sourceMs;
    span.lastMs = sample.sourceMs;
    for (const id of CHANNEL_IDS) if (!Number.isNaN(sample[id])) values[id] = (values[id] ?? 0) + 1;
  };
  let format = forced;
  let reader: ReturnType<(typeof READERS)[StreamFormat]> | undefined;
  let bytes = 0;
  for await (const chunk of stream.chunks()) {
    if (head.length < PREVIEW_BYTES) head = Buffer.concat([head, chunk]).subarray(0, PREVIEW_BYTES);
    format ??= formatOf(stream.name, chunk);
    reader ??= READERS[format](as, take);
    reader.push(chunk, Number.NaN);
    bytes += chunk.length;
    read(bytes);
  }
  reader?.end();
  const refusal = reader?.refusal;
  if (refusal) throw new Fault('nothing usable', `${stream.name}: ${refusal}`);
  if (!reader || !format || reader.counts.samples === 0) {
    throw new Fault('nothing usable', `${stream.name}: found ${bytes} bytes without a sample, expected at least one`);
  }
  return { format, head: preview(head, as, format), counts: reader.counts, values, notes: reader.notes ?? [], ...span };
}

export interface TakenIn {
  /** Of the run. */
  readonly name: string;
  /** Of the file. */
  readonly source: string;
  readonly format: StreamFormat;
  /** The plan as it is kept. */
  readonly planText: string;
  readonly journal: readonly JournalEntry[];
  readonly nowMs: () => number;
  /** Told how many bytes are on the disk. */
  readonly kept?: (bytes: number) => void;
}

/**
 * A closed run made of a stream. @returns its id
 * @throws Fault `cannot write` at the first record that is not on the disk: then nothing of it is left
 */
export async function takeIn(library: RunLibrary, data: string, stream: GivenStream, as: TakenIn): Promise<string> {
  const { name, source, format, planText } = as;
  const { id, run } = await library.create({ name, source, plan: planText });
  try {
    await keep(run, stream, as, { kind: 'source', name: source, format, arrival: 'none', tag: 'apply' });
    await library.close(id);
    return id;
  } catch (error) {
    await library.close(id);
    await rm(runFolder(data, id), { recursive: true, force: true });
    throw error;
  }
}

async function keep(run: RunWriter, stream: GivenStream, as: TakenIn, source: KeptSource): Promise<void> {
  const mustBeKept = async (appended: ReturnType<RunWriter['record']>) => {
    const { kind } = await appended;
    if (kind === 'not recorded') throw new Fault('cannot write', `the run: found ${JSON.stringify(run.state)}`);
  };
  await mustBeKept(run.link(source, as.nowMs()));
  let bytes = 0;
  for await (const chunk of stream.chunks()) {
    await mustBeKept(run.record(chunk, as.nowMs()));
    bytes += chunk.length;
    as.kept?.(bytes);
  }
  for (const entry of as.journal) await mustBeKept(run.journal(entry, as.nowMs()));
}
