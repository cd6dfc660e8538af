/**
 * One writer a data folder. The lock itself is the system's, taken through SQLite on a file of its own: it ends with the
 * process, however that ends, and a process number that is used again is no holder. A file beside it names the holder.
 */
import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import { isDbTrouble } from './runDb.ts';
import { sqlite } from './sqlite.ts';

const LOCK_NAME = 'lock';
const HOLDER_NAME = 'holder.json';

const holderSchema = z.object({ pid: z.int(), host: z.string(), since: z.string() });
export type LockHolder = z.infer<typeof holderSchema>;

export interface DataLock {
  /** Who held it before and did not give it back: taken over, and to be said. */
  readonly tookOverFrom: LockHolder | null;
  release(): void;
}

export interface LockOptions {
  readonly nowMs: () => number;
  readonly pid?: number;
  readonly host?: string;
}

function readHolder(folder: string): LockHolder | null {
  try {
    return holderSchema.safeParse(JSON.parse(readFileSync(join(folder, HOLDER_NAME), 'utf8'))).data ?? null;
  } catch (error) {
    if (error instanceof SyntaxError || (error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

const named = ({ pid, host, since }: LockHolder): string => `process ${pid} on ${host} since ${since}`;

/** At once: the system says so, or not. */
function hold(folder: string): Database.Database {
  const db = new (sqlite())(join(folder, LOCK_NAME), { timeout: 0 });
  try {
    db.pragma('locking_mode = EXCLUSIVE');
    db.exec('BEGIN EXCLUSIVE');
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

/**
 * Makes the folder when it is missing.
 * @throws Fault in one line that names the holder
 */
export function lockDataFolder(folder: string, options: LockOptions): DataLock {
  const { pid = process.pid, host = hostname() } = options;
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const db = hold(folder);
    const before = readHolder(folder);
    if (before && before.host !== host) {
      db.close();
      // The system's lock need not reach from one machine to the other.
      const way = `when nothing runs there, remove ${join(folder, HOLDER_NAME)}`;
      throw new Fault('cannot write', `${folder}: found it held by ${named(before)}, expected no other writer; ${way}`);
    }
    const part = join(folder, `${HOLDER_NAME}.${randomBytes(4).toString('hex')}`);
    writeFileSync(part, JSON.stringify({ pid, host, since: new Date(options.nowMs()).toISOString() }), { mode: 0o600 });
    renameSync(part, join(folder, HOLDER_NAME));
    return { tookOverFrom: before, release: releaser(folder, db) };
  } catch (error) {
    throw lockFault(folder, error);
  }
}

function releaser(folder: string, db: Database.Database): () => void {
  let held = true;
  return () => {
    if (!held) return;
    held = false;
    rmSync(join(folder, HOLDER_NAME), { force: true });
    db.close();
  };
}

function lockFault(folder: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (error instanceof Fault || code === undefined) return error;
  if (code.startsWith('SQLITE_BUSY')) {
    const holder = readHolder(folder);
    const by = holder ? named(holder) : 'another process';
    return new Fault('cannot write', `${folder}: found it held by ${by}, expected no other writer`);
  }
  if (isDbTrouble(error)) return new Fault('cannot write', `${join(folder, LOCK_NAME)}: ${(error as Error).message}`);
  return new Fault('cannot write', `${folder}: found ${code}, expected a folder to write in`);
}
