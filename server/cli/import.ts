/** `import`: a recorded stream becomes a run of the library: read through once to see that it can be, then kept as it is. */
import { rm } from 'node:fs/promises';
import { basename } from 'node:path';
import { systemClock } from '../../ingest/clock.ts';
import { type Preview, preview } from '../../ingest/preview.ts';
import { FORMATS, type StreamFormat } from '../../ingest/recognise.ts';
import type { ReaderCounts } from '../../ingest/streamReader.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import { RunLibrary, runFolder } from '../keep/runLibrary.ts';
import type { RunWriter } from '../keep/runWriter.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import type { KeptSource } from '../recording/keptSource.ts';
import { importText } from './importText.ts';
import { needed, type OptionTable, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { type RunInputs, readInputs } from './readInputs.ts';
import { type StreamFile, streamFile } from './streamChunks.ts';

export const IMPORT_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1' },
  in: { type: 'string', value: 'FILE', says: 'the recorded stream' },
  name: { type: 'string', value: 'NAME', says: 'name of the run; left out: that of the file' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines: it becomes the journal of the run' },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

/** Bytes from the start of the stream whose columns are shown. */
const PREVIEW_BYTES = 1024 * 1024;

/** What a stream was found to be when it was read through. */
export interface ReadThrough {
  readonly format: StreamFormat;
  /** Of its first part: the columns and their units. */
  readonly head: Preview;
  readonly counts: ReaderCounts;
  readonly notes: readonly string[];
  readonly firstMs: number;
  readonly lastMs: number;
}

/** @throws Fault `unknown format`, `nothing usable` */
async function readThrough(
  stream: StreamFile,
  as: Job['stream'],
  forced: StreamFormat | undefined,
  read: (bytes: number) => void,
): Promise<ReadThrough> {
  let head: Uint8Array = new Uint8Array(0);
  const span = { firstMs: Number.NaN, lastMs: Number.NaN };
  const take = ({ sourceMs }: { sourceMs: number }) => {
    if (Number.isNaN(span.firstMs)) span.firstMs = sourceMs;
    span.lastMs = sourceMs;
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
  return { format, head: preview(head, as, format), counts: reader.counts, notes: reader.notes ?? [], ...span };
}

/** @throws Fault `cannot write` at the first record that is not on the disk */
async function keep(run: RunWriter, stream: StreamFile, inputs: RunInputs, source: KeptSource): Promise<void> {
  const mustBeKept = async (appended: ReturnType<RunWriter['record']>) => {
    const { kind } = await appended;
    if (kind === 'not recorded') throw new Fault('cannot write', `the run: found ${JSON.stringify(run.state)}`);
  };
  await mustBeKept(run.link(source, systemClock.nowMs()));
  for await (const chunk of stream.chunks()) await mustBeKept(run.record(chunk, systemClock.nowMs()));
  for (const entry of inputs.journal) await mustBeKept(run.journal(entry, systemClock.nowMs()));
}

export async function importRun(args: readonly string[]): Promise<void> {
  const options = readOptions(args, IMPORT_OPTIONS);
  const data = needed('data', options.data, 'a data folder');
  const file = needed('in', options.in, 'a recorded stream');
  if (file === '-') throw new Fault('bad option', '--in: found standard input, expected a file: it is read twice');
  const forced = formatOption(options.format);
  const inputs = await readInputs(options);
  const stream = await streamFile(file);
  const progress = createProgress(stream.size, process.stderr.isTTY === true && !options.quiet);
  const found = await readThrough(stream, inputs.job.stream, forced, progress.at).finally(progress.done);
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
  try {
    const name = options.name ?? basename(file);
    const { id, run } = await library.create({ name, source: basename(file), plan: inputs.text });
    const source: KeptSource = {
      kind: 'source',
      name: basename(file),
      format: found.format,
      arrival: 'none',
      tag: 'apply',
    };
    try {
      await keep(run, stream, inputs, source);
    } catch (error) {
      await library.close(id);
      await rm(runFolder(data, id), { recursive: true, force: true });
      throw error;
    }
    process.stdout.write(`${importText(id, name, found)}\n`);
  } finally {
    await library.end();
  }
}
