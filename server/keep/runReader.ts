/** A run that is read: while it is being recorded, by another process too, or when it is closed. Changes nothing. */
import { Fault } from '../../src/fault.ts';
import { type Disk, DiskError } from './disk.ts';
import { mustBeKnown } from './knownFormat.ts';
import { type LogHead, readHead } from './logHead.ts';
import { type Damage, type LogItem, type ReadFrom, readLog } from './readLog.ts';
import { isDbTrouble, type JournalRow, type PlanRow, RUN_DB_NAME, RunDb } from './runDb.ts';
import { rebuildIndex } from './runIndex.ts';

export interface RunInfo {
  readonly id: string;
  readonly name: string;
  readonly source: string;
  readonly createdMs: number;
}

export class RunReader {
  readonly #disk: Disk;
  readonly #folder: string;
  readonly #db: RunDb;
  /** Why the index was not used but worked out anew; empty when it is whole. */
  readonly problems: readonly string[];
  readonly #written: (() => LogHead) | undefined;

  private constructor(
    disk: Disk,
    folder: string,
    { db, problems }: ReturnType<typeof wholeIndex>,
    written: (() => LogHead) | undefined,
  ) {
    this.#disk = disk;
    this.#folder = folder;
    this.#db = db;
    this.problems = problems;
    this.#written = written;
  }

  /**
   * An index that is not whole is worked out again in memory.
   * @param written what the writer in this process knows of the end: a disk that is full or fails keeps the head from saying it
   * @throws Fault when the folder holds no run that can be read
   */
  static open(disk: Disk, folder: string, written?: () => LogHead): RunReader {
    try {
      mustBeKnown(disk, folder);
      return new RunReader(disk, folder, wholeIndex(disk, folder), written);
    } catch (error) {
      if (error instanceof DiskError) throw new Fault('file unreadable', error.message);
      throw error;
    }
  }

  /** Names and source; what is damaged beyond reading is told as an empty text. */
  info(): RunInfo {
    const { values } = this.#db.meta();
    const text = (name: string) => values.get(name) ?? '';
    return { id: text('id'), name: text('name'), source: text('source'), createdMs: Number(text('createdMs')) };
  }

  /** What people did, in order. */
  journal(): JournalRow[] {
    return this.#db.journal().rows;
  }

  /** Versions of the plan, in order. */
  plans(): PlanRow[] {
    return this.#db.plans().rows;
  }

  /** How far the log is known to be on the disk; null before its first record. */
  head(): LogHead | null {
    const written = this.#written?.();
    return written && written.number > 0 ? written : readHead(this.#disk, this.#folder).head;
  }

  /** Place of a record at or before an instant of our clock; null: read from the start. */
  placeAtMs(ms: number): (ReadFrom & { readonly number: number }) | null {
    return this.#db.pointAtMs(ms);
  }

  placeOf(number: number): (ReadFrom & { readonly number: number }) | null {
    return this.#db.pointAt(number);
  }

  /** Hash of the chain at a record, to hold a cache against; null when the record is not whole or not there. */
  hashAt(number: number): Uint8Array | null {
    for (const item of this.read(this.placeOf(number), number)) {
      if (item.kind === 'record' && item.record.number === number) return Uint8Array.from(item.record.hash);
    }
    return null;
  }

  /**
   * Bytes that the source gave up to each of some records, as the log gives them out now: what is damaged is not in it. By
   * checksums alone, in a third of the time that the chain takes: whether a record was written anew is for `verifyRun`.
   */
  bytesUpTo(numbers: readonly number[]): { bytes: ReadonlyMap<number, number>; damages: readonly Damage[] } {
    const rising = [...numbers].sort((a, b) => a - b);
    const found = new Map<number, number>();
    const damages: Damage[] = [];
    let bytes = 0;
    let next = 0;
    const before = (number: number) => {
      while (next < rising.length && rising[next]! < number) found.set(rising[next++]!, bytes);
    };
    for (const item of readLog(this.#disk, this.#folder, { through: rising.at(-1) ?? 0, chain: false })) {
      if (item.kind === 'damage') damages.push(item.damage);
      if (item.kind !== 'record') continue;
      before(item.record.number);
      if (item.record.kind === 'bytes') bytes += item.record.bytes.length;
    }
    before(Infinity);
    return { bytes: found, damages };
  }

  /** Records in order, and what is damaged among them; up to the head when there is one. */
  read(from: ReadFrom | null = null, through = this.head()?.number ?? Infinity): Generator<LogItem> {
    return readLog(this.#disk, this.#folder, { ...(from ? { from } : {}), through });
  }

  close(): void {
    this.#db.close();
  }
}

function wholeIndex(disk: Disk, folder: string): { db: RunDb; problems: string[] } {
  const problems: string[] = [];
  try {
    const db = new RunDb(`${folder}/${RUN_DB_NAME}`, 'read');
    problems.push(...rowProblems(db));
    if (problems.length === 0) return { db, problems };
    db.close();
  } catch (error) {
    if (!isDbTrouble(error)) throw error;
    problems.push(`${RUN_DB_NAME}: ${error.message}`);
  }
  const db = new RunDb(':memory:', 'write');
  rebuildIndex(disk, folder, db);
  return { db, problems };
}

function rowProblems(db: RunDb): string[] {
  try {
    return [db.meta(), db.points(), db.journal(), db.plans()].flatMap(({ problems }) => problems);
  } catch (error) {
    db.close();
    throw error;
  }
}
