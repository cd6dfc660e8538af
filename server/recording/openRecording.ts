/** Opens the recording of a live run: a new run of the library, or one that goes on where it was. */
import type { Clock } from '../../ingest/clock.ts';
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import { type Disk, DiskError } from '../keep/disk.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { type RunLibrary, runFolder } from '../keep/runLibrary.ts';
import type { RunReader } from '../keep/runReader.ts';
import type { RunWriter } from '../keep/runWriter.ts';
import { enterAfterwards } from '../library/enterAfterwards.ts';
import { parseJson } from '../plan/parseJson.ts';
import { planFrom, type ReadPlan } from '../plan/readPlan.ts';
import { type KeptBytes, keptBytes, keptPlan, keptSource } from './keptRun.ts';
import type { KeptSource } from './keptSource.ts';
import type { RecordingParts } from './liveRecording.ts';
import { type CacheOptions, noPast, type Past, readPast, stateStore, traceWriter } from './past.ts';
import { Recorder } from './recorder.ts';
import { StateKeeper } from './stateKeeper.ts';
import { stateKey } from './stateKey.ts';

export type PlanWithText = ReadPlan & { readonly text: string };

export interface OpenRecordingOptions {
  readonly library: RunLibrary;
  readonly data: string;
  readonly source: KeptSource;
  readonly createReader: (stream: Job['stream'], sink: (sample: Sample) => void) => StreamReader;
  readonly clock: Clock;
  readonly report: (line: string) => void;
  readonly disk?: Disk;
  /** How often the state is kept; left out: see StateKeeper. */
  readonly keepEverySamples?: number;
}

export interface OpenedRecording {
  readonly id: string;
  readonly name: string;
  readonly plan: PlanWithText;
  readonly parts: RecordingParts;
  /** All that was recorded, from the first byte: for who asks for the samples that a kept state has taken in. */
  earlierBytes(): Generator<KeptBytes>;
}

/** @throws Fault when it cannot be written */
export async function beginRecording(
  options: OpenRecordingOptions,
  name: string,
  plan: PlanWithText,
): Promise<OpenedRecording> {
  const { library, source, clock } = options;
  const { id, run } = await library.create({ name, source: source.name, plan: plan.text });
  const told = await run.link(source, clock.nowMs());
  if (told.kind !== 'recorded')
    throw new Fault('cannot write', `run ${id}: ${told.reason}, its source was not recorded`);
  const cache = cacheOptions(options, id, plan);
  return opened(options, id, name, plan, run, cache, noPast(cache));
}

/**
 * @param given the plan that the user names; it must be the one that the run began with. Left out: that one
 * @throws Fault
 */
export async function resumeRecording(
  options: OpenRecordingOptions,
  id: string,
  given?: PlanWithText,
): Promise<OpenedRecording> {
  const { library, source, clock } = options;
  const run = await library.reopen(id);
  const reader = library.read(id);
  try {
    const { name } = reader.info();
    const plan = keptPlan(reader);
    if (given && !isSamePlan(given, plan)) {
      const way = 'a new plan is entered into the journal';
      throw new Fault('bad option', `--plan: found another than run ${name} began with, expected the same; ${way}`);
    }
    const before = keptSource(reader);
    if (before) mustBeAlike(name, before, source);
    else await run.link(source, clock.nowMs());
    const cache = cacheOptions(options, id, plan);
    return opened(options, id, name, plan, run, cache, readPast(reader, source.arrival, cache), reader);
  } catch (error) {
    reader.close();
    throw error;
  }
}

/** By what they say, not by how they are laid out. */
function isSamePlan(given: PlanWithText, kept: PlanWithText): boolean {
  const { plan } = planFrom('--plan', parseJson('--plan', given.text));
  return JSON.stringify(plan) === JSON.stringify(kept.plan);
}

/** Bytes that are read in another way would be another run. */
const ALIKE = { format: 'format', arrival: 'time of arrival', tag: 'depth tags' } as const;

/** @throws Fault `bad option` for a run whose bytes would be read in another way than before */
export function mustBeAlike(name: string, before: KeptSource, now: KeptSource): void {
  for (const what of ['format', 'arrival', 'tag'] as const) {
    if (before[what] === now[what]) continue;
    throw new Fault('bad option', `run ${name}, ${ALIKE[what]}: found "${now[what]}", expected "${before[what]}"`);
  }
}

function cacheOptions(options: OpenRecordingOptions, id: string, { job, text }: PlanWithText): CacheOptions {
  const { data, source, createReader, disk = nodeDisk, report } = options;
  const key = stateKey(
    id,
    job,
    text,
    source,
    createReader(job.stream, () => {}),
  );
  return { disk, folder: runFolder(data, id), key, report: (line) => report(`run ${id}: ${line}`) };
}

function opened(
  options: OpenRecordingOptions,
  id: string,
  name: string,
  plan: PlanWithText,
  writer: RunWriter,
  cache: CacheOptions,
  past: Past,
  reader?: RunReader,
): OpenedRecording {
  const { disk, report } = cache;
  const { data, clock, source, library } = options;
  const journalBytes = past.journal.reduce((sum, entry) => sum + Buffer.byteLength(JSON.stringify(entry)), 0);
  const recorder = new Recorder({
    writer,
    id,
    name,
    disk,
    folder: data,
    clock,
    report,
    journalBytes,
    enterAfterwards: (entry) => enterAfterwards(library, id, entry),
  });
  const parts = { recorder, past: closing(past, reader), recordedSource: source.arrival === 'none' };
  // Of other formats the reader is not kept: they come as files, which are read anew in a moment.
  const keeper = source.format === 'wits0' ? keeperOf(cache, past, options) : null;
  return { id, name, plan, parts: { ...parts, keeper }, earlierBytes: () => everything(library, id, source) };
}

/** All that was recorded of a run, from its first byte. */
export function* everything(library: RunLibrary, id: string, { arrival }: KeptSource): Generator<KeptBytes> {
  const run = library.read(id);
  try {
    yield* keptBytes(run, arrival);
  } finally {
    run.close();
  }
}

/** The index is closed when the bytes have been read. */
function closing(past: Past, reader: RunReader | undefined): Past {
  return {
    ...past,
    *bytes(onDamage) {
      try {
        yield* past.bytes(onDamage);
      } finally {
        reader?.close();
      }
    },
  };
}

/** Null: what is only a cache cannot be written, and the run is recorded without it. */
function keeperOf(
  cache: CacheOptions,
  past: Past,
  { clock, keepEverySamples }: Pick<OpenRecordingOptions, 'clock' | 'keepEverySamples'>,
): StateKeeper | null {
  try {
    return new StateKeeper({
      states: stateStore(cache),
      traces: traceWriter(cache, past.traces),
      rowsKept: past.traces.rows,
      clock,
      report: cache.report,
      ...(keepEverySamples === undefined ? {} : { everySamples: keepEverySamples }),
    });
  } catch (error) {
    if (!(error instanceof DiskError)) throw error;
    cache.report(`the state of the run is not kept: ${error.message}`);
    return null;
  }
}
