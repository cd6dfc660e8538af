/**
 * A run that is being recorded: the raw log is the truth, the index follows it. What is asked for resolves when it is on the
 * disk; an index that cannot be written is left behind and caught up at the next opening.
 */
import { randomBytes } from 'node:crypto';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { type Disk, DiskError } from './disk.ts';
import type { LogHead } from './logHead.ts';
import { type LogSizes, openRawLog } from './openRawLog.ts';
import type { Appended, LogState, RawLog } from './rawLog.ts';
import { KEY_BYTES, type RecordKind } from './rawRecord.ts';
import { isDbTrouble, type RunDb } from './runDb.ts';
import { indexHead, indexRecord, isIndexed, type RunMark, setIndexHead } from './runIndex.ts';
import { openRunIndex } from './runIndexFile.ts';
import { SEAL_NAME, writeSeal } from './seal.ts';

export interface RunWriterOptions {
  readonly disk: Disk;
  /** Of the run; it is there. */
  readonly folder: string;
  readonly nowMs: () => number;
  readonly report: (line: string) => void;
  /** Left out: as the log has it. */
  readonly sizes?: LogSizes;
}

export class RunWriter {
  readonly #options: RunWriterOptions;
  readonly #log: RawLog;
  #db: RunDb | null;

  private constructor(options: RunWriterOptions, log: RawLog, db: RunDb) {
    this.#options = options;
    this.#log = log;
    this.#db = db;
  }

  /**
   * One writer a folder: the caller holds the lock of the data folder. Whatever was found wrong is reported, a line each.
   * @throws Fault when the disk or the index cannot be opened
   */
  static async open(options: RunWriterOptions): Promise<RunWriter> {
    const { disk, folder, report, nowMs, sizes } = options;
    let db: RunDb | undefined;
    try {
      disk.remove(`${folder}/${SEAL_NAME}`);
      db = openRunIndex(disk, folder, nowMs(), report);
      const known = indexHead(db);
      const newKey = () => randomBytes(KEY_BYTES);
      const log = await openRawLog({ disk, folder, nowMs, report, known, newKey, ...sizes });
      return new RunWriter(options, log, db);
    } catch (error) {
      db?.close();
      if (error instanceof DiskError || isDbTrouble(error))
        throw new Fault('cannot write', `${folder}: ${error.message}`);
      throw error;
    }
  }

  get state(): LogState {
    return this.#log.state;
  }

  get head(): LogHead {
    return this.#log.head;
  }

  /** Raw bytes as they came. @param arrivalMs ms since 1970 UTC, our clock */
  record(bytes: Uint8Array, arrivalMs: number): Promise<Appended> {
    return this.#append('bytes', bytes, arrivalMs);
  }

  /** The link to the source changed. @param change what is to be read back, as JSON */
  link(change: unknown, arrivalMs: number): Promise<Appended> {
    return this.#append('link', Buffer.from(JSON.stringify(change)), arrivalMs);
  }

  /** What somebody did; it stands in the stream where it took effect. */
  journal(entry: JournalEntry, arrivalMs: number): Promise<Appended> {
    return this.#append('journal', Buffer.from(JSON.stringify(entry)), arrivalMs);
  }

  /** A version of the plan, in force from here on. @param text the file as it was given */
  plan(text: string, arrivalMs: number): Promise<Appended> {
    return this.#append('plan', Buffer.from(text), arrivalMs);
  }

  mark(mark: RunMark): Promise<Appended> {
    return this.#append('mark', Buffer.from(JSON.stringify(mark)), this.#options.nowMs());
  }

  /** After a stop: see RawLog. */
  resume(): Promise<boolean> {
    return this.#log.resume();
  }

  /** A run that was closed is sealed. */
  async close(): Promise<void> {
    const { disk, folder, report } = this.#options;
    await this.#log.close();
    this.#withDb((db) => setIndexHead(db, this.#log.head));
    this.#withDb((db) => db.close());
    if (this.#db === null) return;
    this.#db = null;
    try {
      await writeSeal(disk, folder, this.#log.head);
    } catch (error) {
      if (!(error instanceof DiskError)) throw error;
      report(`the run is not sealed: ${error.message}`);
    }
  }

  async #append(kind: RecordKind, bytes: Uint8Array, arrivalMs: number): Promise<Appended> {
    const appended = await this.#log.append(kind, bytes, arrivalMs);
    if (appended.kind === 'recorded' && (isIndexed(appended.number) || (kind !== 'bytes' && kind !== 'link'))) {
      this.#withDb((db) => indexRecord(db, { ...appended, kind, bytes, arrivalMs }));
    }
    return appended;
  }

  #withDb(work: (db: RunDb) => void): void {
    if (this.#db === null) return;
    try {
      work(this.#db);
    } catch (error) {
      if (!isDbTrouble(error)) throw error;
      this.#options.report(`the index stays behind the log until the run is opened again: ${error.message}`);
      const db = this.#db;
      this.#db = null;
      db.close();
    }
  }
}
