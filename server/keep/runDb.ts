/**
 * Index and journal of a run on SQLite. Everything in it is also in the raw log and can be rebuilt from it; it is here so
 * that it can be asked for quickly, and as a second witness of where the log ended and what was entered.
 *
 * SQLite's own check finds few flipped bits: every row carries a checksum of its own, and the journal a chain of hashes.
 */
import { createHash } from 'node:crypto';
import { crc32 } from 'node:zlib';
import type Database from 'better-sqlite3';
import { HASH_BYTES } from './rawRecord.ts';
import { sqlite } from './sqlite.ts';

export const RUN_DB_NAME = 'run.db';
export const RUN_DB_VERSION = 1;
/** How long a call may wait for a reader of another process. */
const BUSY_MS = 250;

const TABLES = `
  CREATE TABLE IF NOT EXISTS meta (name TEXT PRIMARY KEY, value TEXT NOT NULL, crc INTEGER NOT NULL) STRICT, WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS point (number INTEGER PRIMARY KEY, arrival REAL NOT NULL, segment INTEGER NOT NULL,
    at INTEGER NOT NULL, hash BLOB NOT NULL, crc INTEGER NOT NULL) STRICT;
  CREATE INDEX IF NOT EXISTS point_by_arrival ON point (arrival);
  CREATE TABLE IF NOT EXISTS journal (number INTEGER PRIMARY KEY, arrival REAL NOT NULL, who TEXT NOT NULL,
    stated TEXT NOT NULL, action TEXT NOT NULL, entry TEXT NOT NULL, hash BLOB NOT NULL, crc INTEGER NOT NULL) STRICT;
  CREATE TABLE IF NOT EXISTS plan (number INTEGER PRIMARY KEY, arrival REAL NOT NULL, hash TEXT NOT NULL,
    text TEXT NOT NULL, crc INTEGER NOT NULL) STRICT;
  CREATE TRIGGER IF NOT EXISTS journal_stays BEFORE UPDATE ON journal BEGIN SELECT RAISE(ABORT, 'append only'); END;
  CREATE TRIGGER IF NOT EXISTS journal_keeps BEFORE DELETE ON journal BEGIN SELECT RAISE(ABORT, 'append only'); END;
`;

/** Where a record lies: one in INDEX_EVERY. */
export interface IndexPoint {
  readonly number: number;
  readonly arrivalMs: number;
  readonly segment: number;
  readonly at: number;
  readonly hash: Uint8Array;
}

export interface JournalRow {
  /** Of the record in the raw log. */
  readonly number: number;
  /** When it reached us, ms since 1970 UTC. */
  readonly arrivalMs: number;
  readonly who: string;
  /** When it says that it was. */
  readonly stated: string;
  readonly action: string;
  /** The whole entry, as it stands in the raw log. */
  readonly entry: string;
}

export interface PlanRow {
  readonly number: number;
  readonly arrivalMs: number;
  /** SHA-256 of the text, hex. */
  readonly hash: string;
  readonly text: string;
}

/** Rows whose checks hold, and one line for each that was left out. */
export interface Checked<Row> {
  readonly rows: Row[];
  readonly problems: string[];
}

/** Rows that hold a text which is also in the raw log. */
export interface CheckedTexts<Row> extends Checked<Row> {
  /** Texts of the rows that were left out, so that what was changed in them can be told. */
  readonly spoilt: { readonly number: number; readonly text: string }[];
}

/** Null only in a row that is damaged. */
type Cell = string | number | Uint8Array | null;
const text = (cell: Cell): string => (cell instanceof Uint8Array ? Buffer.from(cell).toString('hex') : String(cell));
/** Each cell with its length, so that no two rows read alike. */
const rowCrc = (table: string, cells: readonly Cell[]): number =>
  crc32([table, ...cells].map((cell) => `${text(cell).length}:${text(cell)}`).join());

function journalHash(before: Uint8Array, { number, arrivalMs, entry }: JournalRow): Buffer {
  return createHash('sha256').update(before).update(`${number} ${arrivalMs} `).update(entry).digest();
}

/** Of a row that is damaged anything may come: then a hash that nothing follows from. */
const wholeHash = (hash: unknown): Uint8Array => (hash instanceof Uint8Array ? hash : new Uint8Array(HASH_BYTES));

const pointCells = (p: IndexPoint): Cell[] => [p.number, p.arrivalMs, p.segment, p.at, p.hash];
const journalCells = (r: JournalRow): Cell[] => [r.number, r.arrivalMs, r.who, r.stated, r.action, r.entry];

interface Stored {
  crc: number;
}

/** Every call may throw what SQLite says: see `isDbTrouble`. */
export class RunDb {
  readonly #db: Database.Database;
  readonly #mode: 'read' | 'write';
  #journalEnd: Uint8Array = new Uint8Array(HASH_BYTES);

  /** `write` makes what is missing. */
  constructor(path: string, mode: 'read' | 'write') {
    this.#db = new (sqlite())(path, { readonly: mode === 'read', fileMustExist: mode === 'read', timeout: BUSY_MS });
    this.#mode = mode;
    try {
      if (mode === 'write') this.#prepare();
      this.#journalEnd = this.#lastJournalHash();
    } catch (error) {
      this.#db.close();
      throw error;
    }
  }

  #prepare(): void {
    this.#db.pragma('journal_mode = WAL');
    // On every open: a file that is opened again in this mode would be back at NORMAL, which loses the last rows in a power cut.
    this.#db.pragma('synchronous = FULL');
    this.#db.exec(TABLES);
    this.#db.pragma(`user_version = ${RUN_DB_VERSION}`);
  }

  /** 2 is FULL. */
  get synchronous(): number {
    return this.#db.pragma('synchronous', { simple: true }) as number;
  }

  #lastJournalHash(): Uint8Array {
    const row = this.#db.prepare('SELECT hash FROM journal ORDER BY number DESC LIMIT 1').get() as
      | { hash: Uint8Array }
      | undefined;
    return wholeHash(row?.hash);
  }

  /** All rows that `work` adds at once, or none. */
  together(work: () => void): void {
    this.#db.transaction(work)();
  }

  setMeta(name: string, value: string): void {
    this.#db
      .prepare('INSERT OR REPLACE INTO meta (name, value, crc) VALUES (?, ?, ?)')
      .run(name, value, rowCrc('meta', [name, value]));
  }

  meta(): { values: Map<string, string>; problems: string[] } {
    const rows = this.#db.prepare('SELECT name, value, crc FROM meta ORDER BY name').all() as (Stored & {
      name: string;
      value: string;
    })[];
    const values = new Map<string, string>();
    const problems: string[] = [];
    for (const { name, value, crc } of rows) {
      if (crc === rowCrc('meta', [name, value])) values.set(name, value);
      else problems.push(`${RUN_DB_NAME}, meta "${name}": the checksum does not hold`);
    }
    return { values, problems };
  }

  addPoint(point: IndexPoint): void {
    this.#db
      .prepare('INSERT OR REPLACE INTO point (number, arrival, segment, at, hash, crc) VALUES (?, ?, ?, ?, ?, ?)')
      .run(...pointCells(point), rowCrc('point', pointCells(point)));
  }

  /** In order of their numbers. */
  points(): Checked<IndexPoint> {
    return this.#checkedPoints('ORDER BY number', []);
  }

  /** The last point at or before an instant of our clock; null when there is none. A point that is damaged is passed over. */
  pointAtMs(ms: number): IndexPoint | null {
    return this.#checkedPoints('WHERE arrival <= ? ORDER BY number DESC LIMIT 8', [ms]).rows[0] ?? null;
  }

  /** The same by record. */
  pointAt(number: number): IndexPoint | null {
    return this.#checkedPoints('WHERE number <= ? ORDER BY number DESC LIMIT 8', [number]).rows[0] ?? null;
  }

  #checkedPoints(where: string, bound: number[]): Checked<IndexPoint> {
    const all = this.#db
      .prepare(`SELECT number, arrival AS arrivalMs, segment, at, hash, crc FROM point ${where}`)
      .all(...bound) as (IndexPoint & Stored)[];
    const rows: IndexPoint[] = [];
    const problems: string[] = [];
    for (const { crc, ...point } of all) {
      if (crc === rowCrc('point', pointCells(point))) rows.push(point);
      else problems.push(`${RUN_DB_NAME}, index of record ${point.number}: the checksum does not hold`);
    }
    return { rows, problems };
  }

  addJournal(row: JournalRow): void {
    const hash = journalHash(this.#journalEnd, row);
    this.#db
      .prepare(
        'INSERT INTO journal (number, arrival, who, stated, action, entry, hash, crc) VALUES (?, ?, ?, ?, ?, ?, ?, ?)',
      )
      .run(...journalCells(row), hash, rowCrc('journal', [...journalCells(row), hash]));
    this.#journalEnd = hash;
  }

  /** In order, without those whose checksum or place in the chain does not hold. */
  journal(): CheckedTexts<JournalRow> {
    const all = this.#db
      .prepare(
        'SELECT number, arrival AS arrivalMs, who, stated, action, entry, hash, crc FROM journal ORDER BY number',
      )
      .all() as (JournalRow & Stored & { hash: Uint8Array })[];
    const rows: JournalRow[] = [];
    const problems: string[] = [];
    const spoilt: CheckedTexts<JournalRow>['spoilt'] = [];
    let before: Uint8Array = new Uint8Array(HASH_BYTES);
    for (const { crc, hash, ...row } of all) {
      const where = `${RUN_DB_NAME}, journal row of record ${row.number}`;
      const held = crc === rowCrc('journal', [...journalCells(row), hash]);
      if (held && Buffer.compare(hash, journalHash(before, row)) === 0) rows.push(row);
      else {
        problems.push(`${where}: ${held ? 'the chain breaks' : 'the checksum does not hold'}`);
        spoilt.push({ number: row.number, text: text(row.entry) });
      }
      before = wholeHash(hash);
    }
    return { rows, problems, spoilt };
  }

  /** 0 before the first. */
  lastJournalNumber(): number {
    const { last } = this.#db.prepare('SELECT max(number) AS last FROM journal').get() as { last: number | null };
    return last ?? 0;
  }

  addPlan({ number, arrivalMs, hash, text }: PlanRow): void {
    const cells = [number, arrivalMs, hash, text];
    this.#db
      .prepare('INSERT OR REPLACE INTO plan (number, arrival, hash, text, crc) VALUES (?, ?, ?, ?, ?)')
      .run(...cells, rowCrc('plan', cells));
  }

  /** Plan versions in order. */
  plans(): CheckedTexts<PlanRow> {
    const all = this.#db
      .prepare('SELECT number, arrival AS arrivalMs, hash, text, crc FROM plan ORDER BY number')
      .all() as (PlanRow & Stored)[];
    const rows: PlanRow[] = [];
    const problems: string[] = [];
    const spoilt: CheckedTexts<PlanRow>['spoilt'] = [];
    for (const { crc, ...row } of all) {
      if (crc === rowCrc('plan', [row.number, row.arrivalMs, row.hash, row.text])) rows.push(row);
      else {
        problems.push(`${RUN_DB_NAME}, plan of record ${row.number}: the checksum does not hold`);
        spoilt.push({ number: row.number, text: text(row.text) });
      }
    }
    return { rows, problems, spoilt };
  }

  /** What SQLite itself finds wrong with the file. */
  integrity(): string[] {
    const found = this.#db.pragma('integrity_check(20)') as { integrity_check: string }[];
    const lines = found.map((row) => row.integrity_check).filter((line) => line !== 'ok');
    return lines.map((line) => `${RUN_DB_NAME}: ${line}`);
  }

  /** Every row that is not whole, and what SQLite finds. Reads the whole file. */
  problems(): string[] {
    const checked = [this.meta(), this.points(), this.journal(), this.plans()];
    return [...this.integrity(), ...checked.flatMap(({ problems }) => problems)];
  }

  /** A copy of the file as it stands, while it is written to. */
  async copyTo(path: string): Promise<void> {
    await this.#db.backup(path);
  }

  /** One file is left when nobody else has it open. */
  close(): void {
    try {
      if (this.#mode === 'write') this.#db.pragma('journal_mode = DELETE');
    } catch (error) {
      // Somebody reads: the write-ahead file stays beside it, as whole.
      if (!isDbTrouble(error) || !/^SQLITE_(BUSY|LOCKED)/.test(error.code)) throw error;
    } finally {
      this.#db.close();
    }
  }
}

/** SQLite said so: the file is damaged, cannot be opened, or there is no room. Anything else is our own mistake. */
export function isDbTrouble(error: unknown): error is Error & { code: string } {
  return (
    error instanceof sqlite().SqliteError ||
    (error instanceof TypeError && /directory does not exist/.test(error.message))
  );
}
