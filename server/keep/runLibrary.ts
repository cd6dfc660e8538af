/**
 * The runs of a data folder:
 *
 *     data/lock, holder.json     one writer
 *     data/runs/<id>/            raw-00001.log …, head, run.db, seal.json when closed, cache/
 */
import { randomBytes } from 'node:crypto';
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { type DataLock, lockDataFolder } from './dataLock.ts';
import { type Disk, DiskError } from './disk.ts';
import { mustBeKnown } from './knownFormat.ts';
import { nodeDisk } from './nodeDisk.ts';
import type { LogSizes } from './openRawLog.ts';
import type { Appended } from './rawLog.ts';
import { type RunInfo, RunReader } from './runReader.ts';
import { RunWriter } from './runWriter.ts';
import { readSeal } from './seal.ts';
import { segmentName, segmentNumbers } from './segment.ts';

const RUN_ID = /^[0-9a-z][0-9a-z-]{0,63}$/;
const MOST_NAME = 200;
/** What can be worked out again, in the folder of its run. */
export const CACHE_FOLDER = 'cache';

export interface ListedRun extends RunInfo {
  readonly state: 'recording' | 'closed' | 'not closed';
  /** Last record and when it arrived; 0 before the first. */
  readonly records: number;
  readonly lastMs: number;
  /** Of the plan that it began with; null: it names none. */
  readonly well: string | null;
  readonly problems: readonly string[];
}

export interface NewRun {
  readonly name: string;
  /** Where its bytes come from, in words. */
  readonly source: string;
  /** The plan file as it was given. */
  readonly plan?: string;
}

export interface LibraryOptions {
  readonly nowMs: () => number;
  readonly report: (line: string) => void;
  readonly disk?: Disk;
  /** Of the process that writes; left out: this one. */
  readonly pid?: number;
  /** Of the logs; left out: see RawLog. */
  readonly sizes?: LogSizes;
}

export const isRunId = (text: string): boolean => RUN_ID.test(text);

const wellSchema = z.object({ job: z.object({ well: z.string() }) });

function wellOf(planText: string | undefined): string | null {
  if (planText === undefined) return null;
  try {
    return wellSchema.safeParse(JSON.parse(planText)).data?.job.well ?? null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

/** Where a run lies. @throws Fault for an id that is none: it may come from outside */
export function runFolder(data: string, id: string): string {
  if (!RUN_ID.test(id)) throw new Fault('bad option', `run "${id.slice(0, 80)}": expected letters, digits and dashes`);
  return `${data}/runs/${id}`;
}

/** Changes nothing. @param writer of it in this process @throws Fault when there is no such run */
export function readRun(data: string, id: string, disk: Disk = nodeDisk, writer?: Pick<RunWriter, 'head'>): RunReader {
  const folder = runFolder(data, id);
  if (segmentNumbers(disk.list(folder)).length === 0) {
    throw new Fault('file unreadable', `${folder}: found nothing, expected a run`);
  }
  return RunReader.open(disk, folder, writer && (() => writer.head));
}

/** Newest first. @param recording ids of those being written in this process */
export function listRuns(data: string, recording: ReadonlySet<string> = new Set(), disk: Disk = nodeDisk): ListedRun[] {
  return [...eachRun(data, recording, disk)].sort(newestFirst);
}

export const newestFirst = (a: Pick<ListedRun, 'id' | 'createdMs'>, b: Pick<ListedRun, 'id' | 'createdMs'>): number =>
  b.createdMs - a.createdMs || (a.id < b.id ? 1 : -1);

function* eachRun(data: string, recording: ReadonlySet<string>, disk: Disk): Generator<ListedRun> {
  for (const id of disk.list(`${data}/runs`).filter(isRunId)) {
    const run = listed(data, id, recording.has(id), disk);
    if (run) yield run;
  }
}

function listed(data: string, id: string, isRecording: boolean, disk: Disk): ListedRun | null {
  const folder = runFolder(data, id);
  if (segmentNumbers(disk.list(folder)).length === 0) return null;
  const run = opened(disk, folder);
  if (typeof run === 'string') return unknownRun(id, run);
  try {
    const head = run.head();
    const state = isRecording ? 'recording' : readSeal(disk, folder).kind === 'none' ? 'not closed' : 'closed';
    return {
      ...run.info(),
      id,
      state,
      records: head?.number ?? 0,
      lastMs: head?.arrivalMs ?? 0,
      well: wellOf(run.plans()[0]?.text),
      problems: run.problems,
    };
  } finally {
    run.close();
  }
}

/** A line that says why it cannot be read. */
function opened(disk: Disk, folder: string): RunReader | string {
  try {
    return RunReader.open(disk, folder);
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
}

/** One run that cannot be read does not keep the others from being listed. */
const unknownRun = (id: string, problem: string): ListedRun => ({
  id,
  name: id,
  source: '',
  createdMs: 0,
  state: 'closed',
  records: 0,
  lastMs: 0,
  well: null,
  problems: [problem],
});

/** The library for its one writer. */
export class RunLibrary {
  readonly #data: string;
  readonly #options: LibraryOptions;
  readonly #disk: Disk;
  readonly #lock: DataLock;
  readonly #open = new Map<string, RunWriter>();
  /** Runs are opened, closed and added to one after another: a writer that was opened for one entry is not another's. */
  #last: Promise<unknown> = Promise.resolve();

  /** @throws Fault in one line when another writer holds the folder, or it cannot be written in */
  constructor(data: string, options: LibraryOptions) {
    this.#data = data;
    this.#options = options;
    this.#disk = options.disk ?? nodeDisk;
    this.#lock = lockDataFolder(data, options);
    const { tookOverFrom: before } = this.#lock;
    if (before) options.report(`${data}: taken over from process ${before.pid}, which ended without giving it back`);
  }

  get recordings(): Iterable<RunWriter> {
    return this.#open.values();
  }

  /** One by one, in no order, for whoever has other things to do: each takes a few ms to open. */
  each(): Generator<ListedRun> {
    return eachRun(this.#data, new Set(this.#open.keys()), this.#disk);
  }

  list(): ListedRun[] {
    return listRuns(this.#data, new Set(this.#open.keys()), this.#disk);
  }

  /** Whether there is a run of this id; a name in the folder that only points elsewhere is none. */
  has(id: string): boolean {
    return isRunId(id) && this.#disk.list(`${this.#data}/runs`).includes(id);
  }

  isOpen(id: string): boolean {
    return this.#open.has(id);
  }

  read(id: string): RunReader {
    return readRun(this.#data, id, this.#disk, this.#open.get(id));
  }

  /** @throws Fault when it cannot be written: nothing of it is left then that would be listed */
  async create({ name, source, plan }: NewRun): Promise<{ id: string; run: RunWriter }> {
    const createdMs = this.#options.nowMs();
    const id = newId(createdMs);
    const folder = runFolder(this.#data, id);
    this.#makeFolder(folder);
    const run = await this.#writer(id);
    const named = name.trim().slice(0, MOST_NAME) || id;
    const marked = await run.mark({ mark: 'run', id, name: named, source, createdMs });
    const planned = plan === undefined ? marked : await run.plan(plan, createdMs);
    if (marked.kind === 'recorded' && planned.kind === 'recorded') return { id, run };
    const line = lineOf(run);
    await this.close(id);
    this.#takeAway(folder);
    throw new Fault('cannot write', `${folder}: the run could not be begun, ${line}`);
  }

  /** Goes on recording a run that was closed, or that a crash left open. @throws Fault */
  reopen(id: string): Promise<RunWriter> {
    return this.#alone(() => this.#reopen(id));
  }

  async #reopen(id: string): Promise<RunWriter> {
    const open = this.#open.get(id);
    if (open) return open;
    const folder = runFolder(this.#data, id);
    if (segmentNumbers(this.#disk.list(folder)).length === 0) {
      throw new Fault('file unreadable', `${folder}: found nothing, expected a run`);
    }
    mustBeKnown(this.#disk, folder);
    const run = await this.#writer(id);
    await run.mark({ mark: 'opened', by: `process ${this.#options.pid ?? process.pid}` });
    return run;
  }

  /** @throws Fault when the name cannot be recorded */
  rename(id: string, name: string): Promise<void> {
    const mark = { mark: 'name', name: name.trim().slice(0, MOST_NAME) || id } as const;
    return this.#add(id, 'name', (run) => run.mark(mark));
  }

  /** An entry of a person into a run that is over; it is sealed again with it. @throws Fault when it cannot be recorded */
  enter(id: string, entry: JournalEntry): Promise<void> {
    return this.#add(id, 'entry', (run) => run.journal(entry, this.#options.nowMs()));
  }

  /** One record more; a run that was closed is closed again. */
  #add(id: string, what: string, add: (run: RunWriter) => Promise<Appended>): Promise<void> {
    return this.#alone(async () => {
      const wasOpen = this.#open.has(id);
      const run = await this.#reopen(id);
      const added = await add(run);
      const line = added.kind === 'recorded' ? null : lineOf(run);
      if (!wasOpen) await this.#close(id);
      if (line !== null) throw new Fault('cannot write', `run ${id}: the ${what} was not recorded, ${line}`);
    });
  }

  #alone<Outcome>(work: () => Promise<Outcome>): Promise<Outcome> {
    const mine = this.#last.then(work, work);
    this.#last = mine.catch(() => undefined);
    return mine;
  }

  /** What waits is written first. No run of that id being open is no fault. */
  close(id: string): Promise<void> {
    return this.#alone(() => this.#close(id));
  }

  async #close(id: string): Promise<void> {
    const run = this.#open.get(id);
    if (!run) return;
    await run.mark({ mark: 'closed' });
    await run.close();
    this.#open.delete(id);
  }

  /**
   * Takes a run away that holds nothing: no byte of a source, no entry of a person. Any other is closed.
   * @returns whether it was taken away
   */
  async discardEmpty(id: string): Promise<boolean> {
    const run = this.read(id);
    let isEmpty = true;
    try {
      for (const item of run.read()) {
        isEmpty = item.kind === 'record' && item.record.kind !== 'bytes' && item.record.kind !== 'journal';
        if (!isEmpty) break;
      }
    } finally {
      run.close();
    }
    await this.close(id);
    if (isEmpty) this.#takeAway(runFolder(this.#data, id));
    return isEmpty;
  }

  /** Closes every run and gives the folder back. */
  async end(): Promise<void> {
    for (const id of [...this.#open.keys()]) await this.close(id);
    this.#lock.release();
  }

  async #writer(id: string): Promise<RunWriter> {
    const { nowMs, report, sizes } = this.#options;
    const folder = runFolder(this.#data, id);
    const run = await RunWriter.open({
      ...(sizes ? { sizes } : {}),
      disk: this.#disk,
      folder,
      nowMs,
      report: (line) => report(`run ${id}: ${line}`),
    });
    this.#open.set(id, run);
    return run;
  }

  /** Its log first: what is left without a segment is listed by nobody. */
  #takeAway(folder: string): void {
    const disk = this.#disk;
    try {
      for (const number of segmentNumbers(disk.list(folder))) disk.remove(`${folder}/${segmentName(number)}`);
      disk.syncFolder(folder);
      const cache = `${folder}/${CACHE_FOLDER}`;
      for (const name of disk.list(cache)) disk.remove(`${cache}/${name}`);
      if (disk.list(folder).includes(CACHE_FOLDER)) disk.removeFolder(cache);
      for (const name of disk.list(folder)) disk.remove(`${folder}/${name}`);
      disk.removeFolder(folder);
    } catch (error) {
      if (!(error instanceof DiskError)) throw error;
      this.#options.report(`${folder}: what is left of the run is not taken away, ${error.message}`);
    }
  }

  #makeFolder(folder: string): void {
    try {
      this.#disk.makeFolder(folder);
      this.#disk.syncFolder(`${this.#data}/runs`);
      this.#disk.syncFolder(this.#data);
    } catch (error) {
      if (error instanceof DiskError) throw new Fault('cannot write', error.message);
      throw error;
    }
  }
}

const lineOf = ({ state }: RunWriter): string => (state.kind === 'stopped' ? state.line : state.kind);

/** Sorts by time; the end keeps two of one second apart. */
function newId(ms: number): string {
  const time = new Date(ms).toISOString().slice(0, 19).replace(/[-:]/g, '').replace('T', '-');
  return `${time}-${randomBytes(3).toString('hex')}`;
}
