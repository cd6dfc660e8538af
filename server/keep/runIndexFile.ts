/** Opens the index of a run for writing; one that is not whole is put aside and rebuilt from the raw log. */
import type { Disk } from './disk.ts';
import { isDbTrouble, RUN_DB_NAME, RunDb } from './runDb.ts';
import { catchUpIndex, rebuildIndex } from './runIndex.ts';

const BESIDE = ['', '-wal', '-shm'] as const;

/**
 * @param nowMs names the file that is put aside
 * @param report one line for each thing found wrong
 * @throws DiskError; what SQLite says when even an empty file cannot be made
 */
export function openRunIndex(disk: Disk, folder: string, nowMs: number, report: (line: string) => void): RunDb {
  const path = `${folder}/${RUN_DB_NAME}`;
  const isNew = !disk.list(folder).includes(RUN_DB_NAME);
  if (!isNew) {
    const opened = openWhole(disk, folder, path, report);
    if (opened) return opened;
    putAside(disk, folder, nowMs);
    report(`${RUN_DB_NAME}: put aside and rebuilt from the raw log`);
  }
  const db = new RunDb(path, 'write');
  rebuildIndex(disk, folder, db);
  return db;
}

/** Null when it is not whole. */
function openWhole(disk: Disk, folder: string, path: string, report: (line: string) => void): RunDb | null {
  let db: RunDb | null = null;
  try {
    db = new RunDb(path, 'write');
    const problems = db.problems();
    for (const line of problems) report(line);
    if (problems.length === 0) {
      catchUpIndex(disk, folder, db);
      return db;
    }
  } catch (error) {
    if (!isDbTrouble(error)) throw error;
    report(`${RUN_DB_NAME}: ${error.message}`);
  }
  db?.close();
  return null;
}

function putAside(disk: Disk, folder: string, nowMs: number): void {
  const names = disk.list(folder);
  for (const end of BESIDE) {
    const name = `${RUN_DB_NAME}${end}`;
    if (names.includes(name)) disk.rename(`${folder}/${name}`, `${folder}/damaged-${nowMs}-${name}`);
  }
}
