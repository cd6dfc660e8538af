/**
 * Recorded streams on their way into the library: sent in parts, read through, and taken in when a person has seen what was
 * understood. What is sent lies in a folder of its own beside the runs, and goes with the import, with the service, or when
 * nobody asks for it any longer.
 */
import { randomBytes } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { mkdir, open, rm } from 'node:fs/promises';
import type { Clock } from '../../ingest/clock.ts';
import type { StreamFormat } from '../../ingest/recognise.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { type ImportState, LIBRARY_LIMITS } from '../../src/library/librarySchema.ts';
import type { Disk } from '../keep/disk.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { ReadPlan } from '../plan/readPlan.ts';
import { type ReadThrough, readThrough, takeIn } from '../recording/readThrough.ts';
import { takeInArchive } from './takeInArchive.ts';
import { understoodOf } from './understood.ts';

/** Imports at once, and how long one stays that nobody asks for, ms. */
const MOST_IMPORTS = 4;
const STAYS_MS = 15 * 60_000;
/** Read and kept in pieces of so much: each takes a few ms from the live run. */
const CHUNK_BYTES = 64 * 1024;
/** Room that is left to the recording, bytes. */
const ROOM_LEFT = 64 * 1024 * 1024;

export interface Given {
  /** Name of the file, for what is said of it. */
  readonly file: string;
  readonly bytes: number;
  /** With the channel map in it; null: it is the archive of a run, which has its own. */
  readonly plan: (ReadPlan & { readonly text: string }) | null;
  readonly format: StreamFormat | undefined;
  /** What people did: it becomes the journal of the run. */
  readonly journal: readonly JournalEntry[];
}

interface Import extends Given {
  readonly id: string;
  readonly path: string;
  state: ImportState;
  found: ReadThrough | null;
  askedMs: number;
  work: Promise<void>;
}

export interface ImportDeskOptions {
  readonly library: RunLibrary;
  readonly data: string;
  readonly disk: Disk;
  readonly clock: Clock;
  readonly report: (line: string) => void;
  /** Told of a run that was taken in. */
  readonly kept: (id: string, found: ReadThrough) => Promise<void>;
}

export class ImportDesk {
  readonly #options: ImportDeskOptions;
  readonly #folder: string;
  readonly #imports = new Map<string, Import>();
  #cancelLook: (() => void) | undefined;
  /** Archives are taken in one after another. */
  #lastArchive: Promise<unknown> = Promise.resolve();

  constructor(options: ImportDeskOptions) {
    this.#options = options;
    this.#folder = `${options.data}/imports`;
  }

  /** What another start left behind goes. */
  async open(): Promise<void> {
    await rm(this.#folder, { recursive: true, force: true });
    this.#lookLater();
  }

  async close(): Promise<void> {
    this.#cancelLook?.();
    await Promise.all([...this.#imports.values()].map((each) => each.work));
    await rm(this.#folder, { recursive: true, force: true });
  }

  /** @returns the id of the import @throws Fault */
  async begin(given: Given): Promise<string> {
    const { clock, disk, data } = this.#options;
    if (this.#imports.size >= MOST_IMPORTS) {
      throw new Fault('cannot write', `imports: found ${this.#imports.size} under way, expected fewer; drop one`);
    }
    // Once as it is sent, once as it is kept.
    const wanted = 2 * given.bytes + ROOM_LEFT;
    const { freeBytes } = disk.space(data);
    if (freeBytes < wanted) {
      throw new Fault('cannot write', `${given.file}: found ${freeBytes} bytes free on the disk, expected ${wanted}`);
    }
    const id = randomBytes(12).toString('hex');
    const path = `${this.#folder}/${id}`;
    await mkdir(this.#folder, { recursive: true, mode: 0o700 });
    await (await open(path, 'wx', 0o600)).close();
    const state: ImportState = { state: 'receiving', bytes: 0, of: given.bytes };
    this.#imports.set(id, {
      ...given,
      id,
      path,
      state,
      found: null,
      askedMs: clock.nowMs(),
      work: Promise.resolve(),
    });
    return id;
  }

  /** @throws Fault `bad option` where there is none of this id */
  state(id: string): ImportState {
    return this.#find(id).state;
  }

  /** The next bytes of the stream. @param at how many came before @throws Fault */
  async part(id: string, at: number, bytes: Uint8Array): Promise<ImportState> {
    const one = this.#find(id);
    const { state } = one;
    if (state.state !== 'receiving') throw wrongState(one, 'receiving');
    if (at !== state.bytes) {
      throw new Fault('bad option', `at: found ${at}, expected ${state.bytes}: so much of ${one.file} is here`);
    }
    const length = at + bytes.length;
    if (length > one.bytes) {
      throw new Fault('bad option', `${one.file}: found more than ${one.bytes} bytes, expected as many as were told`);
    }
    // Taken before it waits for the disk: the same part sent twice at once is refused.
    one.state = { ...state, bytes: length };
    try {
      const file = await open(one.path, 'r+');
      try {
        await file.write(bytes, 0, bytes.length, at);
      } finally {
        await file.close();
      }
    } catch (error) {
      one.state = { state: 'refused', why: `${one.file}: found ${codeOf(error)}, expected to write it` };
    }
    return one.state;
  }

  /** Reads it through; how far it is, and what came of it, is told by `state`. @throws Fault */
  read(id: string): ImportState {
    const one = this.#find(id);
    const { state } = one;
    if (state.state !== 'receiving') throw wrongState(one, 'receiving');
    if (state.bytes !== one.bytes) {
      throw new Fault('bad option', `${one.file}: found ${state.bytes} bytes so far, expected ${one.bytes}`);
    }
    one.state = { state: 'reading', bytes: 0, of: one.bytes };
    const { plan } = one;
    if (plan === null) return this.#takeInArchive(one);
    this.#start(one, async () => {
      one.found = await readThrough(streamOf(one), plan.job.stream, one.format, (bytes) => {
        one.state = { state: 'reading', bytes, of: one.bytes };
      });
      one.state = { state: 'understood', understood: understoodOf(one.found, plan, one.journal.length) };
    });
    return one.state;
  }

  /** All of it is checked before it is a run: there is nothing to be seen and decided on between. */
  #takeInArchive(one: Import): ImportState {
    const { data, disk } = this.#options;
    const read = (bytes: number): void => {
      one.state = { state: 'reading', bytes: Math.min(bytes, one.bytes), of: one.bytes };
    };
    const taken = this.#lastArchive.then(() => takeInArchive(one, data, disk, read));
    this.#lastArchive = taken.catch(() => undefined);
    this.#start(one, async () => {
      one.state = { state: 'kept', run: await taken };
      await rm(one.path, { force: true });
    });
    return one.state;
  }

  /** Makes a run of it. @throws Fault */
  keep(id: string, name: string): ImportState {
    const one = this.#find(id);
    const { found, plan } = one;
    if (one.state.state !== 'understood' || !found || !plan) throw wrongState(one, 'understood');
    const { library, data, clock, kept } = this.#options;
    one.state = { state: 'keeping', bytes: 0, of: one.bytes };
    this.#start(one, async () => {
      const run = await takeIn(library, data, streamOf(one), {
        name,
        source: one.file,
        format: found.format,
        planText: plan.text,
        journal: one.journal,
        nowMs: () => clock.nowMs(),
        kept: (bytes) => {
          one.state = { state: 'keeping', bytes, of: one.bytes };
        },
      });
      await kept(run, found);
      one.state = { state: 'kept', run };
      await rm(one.path, { force: true });
    });
    return one.state;
  }

  /** What was sent is taken away; a run that came of it stays. @throws Fault */
  async drop(id: string): Promise<void> {
    const one = this.#find(id);
    await one.work;
    this.#imports.delete(id);
    await rm(one.path, { force: true });
  }

  #find(id: string): Import {
    const one = this.#imports.get(id);
    if (!one) throw new Fault('bad option', 'import: found none of this id, expected one that was begun');
    one.askedMs = this.#options.clock.nowMs();
    return one;
  }

  #start(one: Import, work: () => Promise<void>): void {
    one.work = work().catch((error: unknown) => {
      if (!(error instanceof Fault)) this.#options.report(`import of ${one.file} failed: ${String(error)}`);
      const why = error instanceof Fault ? error.message.split('\n')[0]! : `${one.file}: the service failed`;
      one.state = { state: 'refused', why };
    });
  }

  #lookLater(): void {
    this.#cancelLook = this.#options.clock.after(STAYS_MS / 4, () => {
      const { clock, report } = this.#options;
      for (const { id, askedMs, file } of this.#imports.values()) {
        if (clock.nowMs() - askedMs <= STAYS_MS) continue;
        void this.drop(id).catch((error: unknown) => report(`import of ${file} is not taken away: ${String(error)}`));
      }
      this.#lookLater();
    });
  }
}

const codeOf = (error: unknown): string => (error as NodeJS.ErrnoException).code ?? 'a fault';

const wrongState = (one: Import, expected: ImportState['state']): Fault =>
  new Fault('bad option', `import of ${one.file}: found it ${one.state.state}, expected it ${expected}`);

function streamOf({ file, path }: Import): { readonly name: string; chunks(): AsyncIterable<Uint8Array> } {
  return { name: file, chunks: () => createReadStream(path, { highWaterMark: CHUNK_BYTES }) };
}

/** Bytes of a stream that may be sent. @throws Fault */
export function mustBeTakeable(file: string, bytes: number): void {
  const { importBytes } = LIBRARY_LIMITS;
  if (bytes <= importBytes) return;
  throw new Fault('file too large', `${file}: found ${bytes} bytes, expected at most ${importBytes}`);
}
