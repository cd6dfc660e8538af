/** All that can be done with the run library over HTTP, in one place: what is listed, read, verified, copied, taken in, recorded. */
import type { Clock } from '../../ingest/clock.ts';
import { Fault } from '../../src/fault.ts';
import { LIBRARY_LIMITS, type ListedRunState, type Runs, type Verified } from '../../src/library/librarySchema.ts';
import { inTurns } from '../keep/inTurns.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { type ListedRun, newestFirst, type RunLibrary, runFolder } from '../keep/runLibrary.ts';
import { type Hole, type RunCheck, verifySteps } from '../keep/verifyRun.ts';
import type { LiveRun } from '../live/liveRun.ts';
import type { PresentRun } from '../live/presentRun.ts';
import { keptSource } from '../recording/keptRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { clearBackups } from './backupZip.ts';
import { ImportDesk } from './importDesk.ts';
import { OpenedRuns } from './openedRuns.ts';
import type { RecordingDesk } from './recordingDesk.ts';
import { keepSummary, readSummary, type SummaryParts } from './runSummary.ts';

export interface LibraryDeskOptions {
  readonly library: RunLibrary;
  readonly data: string;
  readonly clock: Clock;
  readonly report: (line: string) => void;
  readonly present: PresentRun;
}

export class LibraryDesk {
  readonly library: RunLibrary;
  readonly data: string;
  readonly report: (line: string) => void;
  readonly imports: ImportDesk;
  readonly #options: LibraryDeskOptions;
  readonly #opened: OpenedRuns;
  /** Null: there is no source that a run could be recorded from. */
  #recording: RecordingDesk | null = null;
  #verifying: string | null = null;
  readonly #imported = new Map<string, boolean>();

  constructor(options: LibraryDeskOptions) {
    const { library, data, clock, report } = options;
    this.library = library;
    this.data = data;
    this.report = report;
    this.#options = options;
    const read = (id: string, live: LiveRun) => void this.#keep(id, { read: readOf(live) });
    this.#opened = new OpenedRuns({ library, clock, read });
    this.imports = new ImportDesk({
      library,
      data,
      disk: nodeDisk,
      clock,
      report,
      kept: (id, { counts, firstMs, lastMs }) => {
        const { frames, samples } = counts;
        return this.#keep(id, { read: { frames, samples, fromMs: firstMs, toMs: lastMs } });
      },
    });
  }

  async open(recording: RecordingDesk | null): Promise<void> {
    this.#recording = recording;
    await clearBackups(this.data);
    await this.imports.open();
  }

  async close(): Promise<void> {
    await this.imports.close();
    await this.#opened.close();
  }

  /** @throws Fault where there is no source */
  get recording(): RecordingDesk {
    if (this.#recording) return this.#recording;
    throw new Fault('bad option', 'the library: found no source, expected one that a run could be recorded from');
  }

  /** Of the run that the live screen shows; null: it shows none. */
  get presentId(): string | null {
    return this.#recording?.presentId ?? null;
  }

  /** What a walk through the run finds now, in turns beside the live one; it is not kept. */
  verification(id: string): Promise<RunCheck> {
    return inTurns(verifySteps(nodeDisk, runFolder(this.data, id)));
  }

  async runs(): Promise<Runs> {
    const runs: ListedRunState[] = [];
    for (const run of this.library.each()) {
      runs.push(this.#listed(run));
      await new Promise((resolve) => setImmediate(resolve));
    }
    return {
      library: this.#recording ? 'record' : 'read',
      present: this.presentId,
      runs: runs.sort(newestFirst),
    };
  }

  #listed(run: ListedRun): ListedRunState {
    const { id, name, well, source, createdMs, lastMs, state, records, problems } = run;
    const { read, checked } = readSummary(nodeDisk, this.data, id);
    const live = this.#recording?.presentId === id ? this.#options.present.orNull : null;
    const known = live ? readOf(live) : read;
    return {
      id,
      name,
      well,
      source,
      imported: this.#isImported(id),
      createdMs,
      lastMs,
      state,
      records,
      bytes: runBytes(nodeDisk, this.data, id),
      frames: known?.frames ?? null,
      samples: known?.samples ?? null,
      fromMs: known?.fromMs ?? null,
      toMs: known?.toMs ?? null,
      checked,
      problems: problems.slice(0, LIBRARY_LIMITS.lines),
    };
  }

  /** Stays as it is: it is found out once. */
  #isImported(id: string): boolean {
    const known = this.#imported.get(id);
    if (known !== undefined) return known;
    const run = this.library.read(id);
    try {
      const source = keptSource(run);
      if (source) this.#imported.set(id, source.arrival === 'none');
      return source?.arrival === 'none';
    } finally {
      run.close();
    }
  }

  /** The run worked through, up to its newest record; the one that the live screen shows is that one itself. @throws Fault */
  async live(id: string): Promise<LiveRun> {
    const present = this.#options.present.orNull;
    if (present && this.#recording?.presentId === id) return present;
    return this.#opened.open(id);
  }

  /** @throws Fault: also when it is not recorded */
  async rename(id: string, name: string): Promise<void> {
    const { read } = readSummary(nodeDisk, this.data, id);
    await this.library.rename(id, name);
    this.#recording?.renamed(id, name);
    // A name is one record more, and changes nothing of what was read.
    await this.#keep(id, { read });
    await this.forget(id);
  }

  /** Also one that a crash left open. @throws Fault */
  async closeRun(id: string): Promise<void> {
    if (await this.#recording?.close(id)) return;
    await this.library.reopen(id);
    await this.library.close(id);
    await this.forget(id);
  }

  forget(id: string): Promise<void> {
    return this.#opened.forget(id);
  }

  /** One at a time: it reads as fast as the disk gives. @throws Fault */
  async verify(id: string): Promise<Verified> {
    if (this.#verifying !== null) {
      throw new Fault('bad option', `verify: found run ${this.#verifying} being verified, expected to wait for it`);
    }
    this.#verifying = id;
    try {
      const check = await inTurns(verifySteps(nodeDisk, runFolder(this.data, id)));
      const found = verifiedOf(id, check);
      const { whole, problemCount: problems, problems: lines } = found;
      await this.#keep(id, { checked: { atMs: this.#options.clock.nowMs(), whole, problems, lines } });
      return found;
    } finally {
      this.#verifying = null;
    }
  }

  #keep(id: string, parts: Partial<SummaryParts>): Promise<void> {
    return keepSummary(nodeDisk, this.data, id, parts, this.#options.report);
  }
}

function readOf(live: LiveRun): NonNullable<SummaryParts['read']> {
  const { frames, samples } = live.ingest();
  const { fromMs, toMs } = live.span();
  return { frames, samples, fromMs, toMs };
}

const instant = (ms: number | null): string => (ms === null ? 'unknown' : new Date(ms).toISOString());
const holeLine = ({ afterNumber, fromMs, toMs, why }: Hole): string =>
  `behind record ${afterNumber ?? 'unknown'}, from ${instant(fromMs)} to ${instant(toMs)}: ${why}`;

function verifiedOf(id: string, check: RunCheck): Verified {
  const { whole, records, hash, sealed, problems, holes } = check;
  return {
    id,
    whole,
    records,
    hash,
    sealed,
    problemCount: problems.length,
    problems: problems.slice(0, LIBRARY_LIMITS.lines),
    holeCount: holes.length,
    holes: holes.slice(0, LIBRARY_LIMITS.lines).map(holeLine),
  };
}
