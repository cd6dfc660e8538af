/**
 * The simulated disk of a data folder, with the index of a run beside it on a real one: SQLite takes a path. Of the index a
 * crash leaves what was committed, and now and then nothing.
 */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Disk } from '../../server/keep/disk.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RUN_DB_NAME } from '../../server/keep/runDb.ts';
import type { SimDisk } from '../keep/simDisk.ts';

/** In memory where the system has such a folder: thousands of runs would wait for a real disk. */
const ROOM = existsSync('/dev/shm') ? '/dev/shm' : tmpdir();

export const newDataFolder = (): string => mkdtempSync(join(ROOM, 'jointwise-faults-'));
export const removeDataFolder = (data: string): void => rmSync(data, { recursive: true, force: true });

const isIndex = (path: string): boolean => path.slice(path.lastIndexOf('/') + 1).includes(RUN_DB_NAME);

/** As one process has it: nothing of the process reaches it after a crash. */
export function faultRunDisk(sim: SimDisk): Disk {
  const disk = sim.process();
  return {
    ...disk,
    list: (folder) => [...new Set([...disk.list(folder), ...nodeDisk.list(folder).filter(isIndex)])].sort(),
    makeFolder: (path) => {
      disk.makeFolder(path);
      mkdirSync(path, { recursive: true });
    },
    rename: (from, to) => (isIndex(from) ? nodeDisk : disk).rename(from, to),
    remove: (path) => (isIndex(path) ? nodeDisk : disk).remove(path),
  };
}

export type IndexFiles = ReadonlyMap<string, Buffer>;

/** What the index is at this moment: all that is committed is on the disk. */
export function indexFiles(folder: string): IndexFiles {
  const names = readdirSync(folder).filter((name) => isIndex(name) && !name.endsWith('-shm'));
  return new Map(names.map((name) => [join(folder, name), readFileSync(join(folder, name))]));
}

/** The index as it was; nobody has it open. */
export function putIndexFiles(folder: string, files: IndexFiles): void {
  for (const name of readdirSync(folder).filter(isIndex)) rmSync(join(folder, name));
  for (const [path, content] of files) writeFileSync(path, content);
}
