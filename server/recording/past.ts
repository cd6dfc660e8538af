/**
 * Where a run was when its recording ended, however it ended: the newest state that was kept and holds, the rows of its
 * traces, and the bytes behind it. A state that does not hold is passed over: then everything is worked out from the log.
 *
 * A state holds when the log has its record with its hash, when the log still gives out all bytes that were worked into it
 * (a record before it may have been damaged since; one that was damaged before is in neither), and when the journal begins
 * with what people had done by then. So a run that goes on is the run that `analyse --run` would work out.
 */
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { TRACE_COLUMNS, type TraceRow } from '../../src/traces/traceColumns.ts';
import { type Disk, DiskError } from '../keep/disk.ts';
import type { Damage } from '../keep/readLog.ts';
import { CACHE_FOLDER } from '../keep/runLibrary.ts';
import type { RunReader } from '../keep/runReader.ts';
import {
  type CachedSamples,
  firstRows,
  readSampleCache,
  type SampleCacheForm,
  SampleCacheWriter,
} from '../keep/sampleChunks.ts';
import { type Snapshot, SnapshotStore } from '../keep/snapshotStore.ts';
import { type KeptBytes, keptBytes, keptJournal } from './keptRun.ts';
import type { KeptSource } from './keptSource.ts';
import type { LiveState } from './stateKeeper.ts';

const TRACES_NAME = 'traces';
/** States that are looked at before everything is worked out anew. */
const MOST_TRIES = 3;
/** States kept beside a run: a restart needs the newest, and those before it when that one does not hold. */
const STATES_KEPT = 4;

export interface CacheOptions {
  readonly disk: Disk;
  /** Of the run. */
  readonly folder: string;
  /** All that a state depends on beside the log. */
  readonly key: string;
  readonly report: (line: string) => void;
}

const cacheFolder = ({ folder }: CacheOptions): string => `${folder}/${CACHE_FOLDER}`;
const traceForm = ({ key }: CacheOptions): SampleCacheForm => ({ key, columns: TRACE_COLUMNS.length - 1 });

export const stateStore = (options: CacheOptions): SnapshotStore<LiveState> =>
  new SnapshotStore(options.disk, cacheFolder(options), options.key, options.report, STATES_KEPT);

export interface Past {
  /** Null: everything is to be worked out from the first byte. */
  readonly state: LiveState | null;
  /** Rows of the traces up to the state. */
  rows(): Generator<TraceRow>;
  /** Bytes behind the state. @param onDamage told what is damaged among them */
  bytes(onDamage?: (damage: Damage) => void): Generator<KeptBytes>;
  /** What is damaged before the state: it was so when the state was kept. */
  readonly damages: readonly Damage[];
  /** All of it, in the order in which it is worked in. */
  readonly journal: readonly JournalEntry[];
  /** The cache of the rows, as far as it holds. */
  readonly traces: CachedSamples;
}

/** The past of a run that has none. @throws DiskError */
export function noPast(options: CacheOptions): Past {
  const traces = tracesOf(options, null);
  return { state: null, rows: function* () {}, bytes: function* () {}, damages: [], journal: [], traces };
}

/** @throws DiskError */
export function readPast(run: RunReader, arrival: KeptSource['arrival'], options: CacheOptions): Past {
  const journal = keptJournal(run);
  const cached = tracesOf(options, run);
  const found = newestState(run, options, cached, journal);
  const place = found && run.placeOf(found.number);
  // What was kept of the traces behind the state may be of a record that has been damaged since.
  const traces = found?.traces ?? firstRows(cached, 0)!;
  return {
    state: found?.state ?? null,
    rows: () => rowsOf(traces, traces.rows),
    bytes: (onDamage) => keptBytes(run, arrival, { number: found?.number ?? 0, place }, onDamage),
    damages: found?.damages ?? [],
    journal,
    traces,
  };
}

/** @throws DiskError */
export function traceWriter(options: CacheOptions, found: Pick<CachedSamples, 'bytes'>): SampleCacheWriter {
  options.disk.makeFolder(cacheFolder(options));
  return new SampleCacheWriter(options.disk, `${cacheFolder(options)}/${TRACES_NAME}`, traceForm(options), found);
}

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');

/** The log has that record, with that hash of the chain: what was worked out up to it is still so. */
function standsInLog(run: RunReader, number: number, hash: string): boolean {
  const inLog = run.hashAt(number);
  return inLog !== null && hex(inLog) === hash;
}

interface FoundState extends Snapshot<LiveState> {
  /** The rows up to it. */
  readonly traces: CachedSamples;
  readonly damages: readonly Damage[];
}

function newestState(
  run: RunReader,
  options: CacheOptions,
  cached: CachedSamples,
  journal: readonly JournalEntry[],
): FoundState | null {
  const states = stateStore(options);
  let before = run.head()?.number ?? 0;
  const { bytes, damages } = run.bytesUpTo(states.numbers().filter((number) => number <= before));
  for (let tried = 0; tried < MOST_TRIES; tried++) {
    const found = states.atOrBefore(before);
    if (!found) return null;
    const traces = firstRows(cached, found.state.run.samples);
    const why = whyNot(run, found, bytes.get(found.number), journal);
    if (why === null && traces !== null) {
      const { number } = found;
      const isBefore = ({ beforeNumber }: Damage) => beforeNumber !== null && beforeNumber <= number;
      return { ...found, traces, damages: damages.filter(isBefore) };
    }
    const reason = why ?? 'the rows of its traces are not there';
    options.report(`the state kept at record ${found.number} is not used: ${reason}`);
    before = found.number - 1;
  }
  return null;
}

/** Null: what was worked into the state is what the log says today. @param bytes that the log gives out up to it */
function whyNot(
  run: RunReader,
  { number, hash, state }: Snapshot<LiveState>,
  bytes: number | undefined,
  journal: readonly JournalEntry[],
): string | null {
  if (!standsInLog(run, number, hash)) return 'it is not that of the log';
  if (bytes !== state.bytes) return 'a record before it has been damaged since it was kept';
  const isDone = state.run.journal.entries.every(({ at, by, action }, i) => {
    const entry = journal[i];
    return entry?.by === by && entry.action === action && Date.parse(entry.at) === Date.parse(at);
  });
  return isDone ? null : 'an entry of its journal is no longer there';
}

function tracesOf(options: CacheOptions, run: RunReader | null): CachedSamples {
  const form = traceForm(options);
  const path = `${cacheFolder(options)}/${TRACES_NAME}`;
  const found = readTraces(options, path, form);
  for (const problem of found.problems) options.report(`${problem}; it is worked out again`);
  if (found.rows === 0 || (run && standsInLog(run, found.lastNumber, hex(found.hash)))) return found;
  options.report('the rows kept for the traces are not those of the log: they are worked out again');
  return nothing(form);
}

function readTraces({ disk, report }: CacheOptions, path: string, form: SampleCacheForm): CachedSamples {
  try {
    return readSampleCache(disk, path, form);
  } catch (error) {
    if (!(error instanceof DiskError)) throw error;
    report(error.message);
    return nothing(form);
  }
}

const nothing = ({ columns }: SampleCacheForm): CachedSamples => ({
  rows: 0,
  time: new Float64Array(0),
  columns: Array.from({ length: columns }, () => new Float64Array(0)),
  lastNumber: 0,
  hash: new Uint8Array(0),
  bytes: 0,
  ends: [],
  problems: [],
});

/** One array, written anew for each row. */
function* rowsOf({ time, columns }: CachedSamples, count: number): Generator<TraceRow> {
  const row: TraceRow = new Array(columns.length + 1).fill(null);
  for (let i = 0; i < count; i++) {
    row[0] = time[i]!;
    for (let c = 0; c < columns.length; c++) row[c + 1] = columns[c]![i]!;
    yield row;
  }
}
