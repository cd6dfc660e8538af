/** The real disk. */
import {
  closeSync,
  constants,
  fdatasync,
  fdatasyncSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readdirSync,
  readSync,
  renameSync,
  rmdirSync,
  rmSync,
  statfsSync,
  writeSync,
} from 'node:fs';
import { type Disk, DiskError, type DiskFile, type DiskTrouble } from './disk.ts';

/** For the owner alone: a run may hold what the operator keeps to itself. */
const FILE_MODE = 0o600;
const FOLDER_MODE = 0o700;

/**
 * While the disk answers this fast, waiting for it costs less than handing the sync to a thread and back (measured: 0.14 ms
 * against 0.19). After a slow one the thread has them until so many in a row were quick: a disk that stalls holds up one turn.
 */
const QUICK_SYNC_MS = 1;
const SYNCS_AFTER_SLOW = 16;

const TROUBLES: Readonly<Record<string, DiskTrouble>> = {
  ENOSPC: 'full',
  EDQUOT: 'full',
  ENOENT: 'missing',
  EACCES: 'refused',
  EPERM: 'refused',
  EROFS: 'refused',
};

function diskError(error: unknown, path: string, tried: string): DiskError {
  const code = (error as NodeJS.ErrnoException).code;
  // Without a code it is no answer of the disk but a mistake of ours.
  if (code === undefined) throw error;
  return new DiskError(TROUBLES[code] ?? 'failed', `${path}: found ${code}, expected to ${tried}`);
}

function asked<T>(path: string, tried: string, call: () => T): T {
  try {
    return call();
  } catch (error) {
    throw diskError(error, path, tried);
  }
}

function nodeFile(path: string, opened: number): DiskFile {
  // A number that was given back may be that of another file by now.
  let open = true;
  let leftToThread = 0;
  const call = <T>(tried: string, run: (handle: number) => T): T => {
    if (!open) throw new DiskError('failed', `${path}: found it closed, expected to ${tried}`);
    return asked(path, tried, () => run(opened));
  };
  return {
    path,
    size: () => call('tell its size', (handle) => fstatSync(handle).size),
    read: (into, at) => call('read', (handle) => readAll(handle, into, at)),
    write: (bytes, at) => call('write', (handle) => writeAll(handle, bytes, at)),
    truncate: (size) => call('cut', (handle) => ftruncateSync(handle, size)),
    datasync: () =>
      new Promise((resolve, reject) => {
        const from = performance.now();
        const ended = () => {
          const wasQuick = performance.now() - from <= QUICK_SYNC_MS;
          leftToThread = wasQuick ? Math.max(0, leftToThread - 1) : SYNCS_AFTER_SLOW;
        };
        if (leftToThread === 0) {
          call('sync', fdatasyncSync);
          ended();
          resolve();
          return;
        }
        call('sync', (handle) =>
          fdatasync(handle, (error) => {
            ended();
            if (error) reject(diskError(error, path, 'sync'));
            else resolve();
          }),
        );
      }),
    close() {
      if (!open) return;
      open = false;
      asked(path, 'close', () => closeSync(opened));
    },
  };
}

function readAll(handle: number, into: Uint8Array, at: number): number {
  let done = 0;
  while (done < into.length) {
    const got = readSync(handle, into, done, into.length - done, at + done);
    if (got === 0) break;
    done += got;
  }
  return done;
}

function writeAll(handle: number, bytes: Uint8Array, at: number): void {
  let done = 0;
  while (done < bytes.length) done += writeSync(handle, bytes, done, bytes.length - done, at + done);
}

function syncFolder(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

function names(folder: string): string[] {
  try {
    // A name that points elsewhere is no part of a run: nothing outside the folder is read, copied or given out through it.
    const entries = readdirSync(folder, { withFileTypes: true }).filter((entry) => !entry.isSymbolicLink());
    return entries.map(({ name }) => name).sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw diskError(error, folder, 'list');
  }
}

export const nodeDisk: Disk = {
  open(path, mode) {
    const flags = mode === 'read' ? constants.O_RDONLY : constants.O_RDWR | constants.O_CREAT;
    return nodeFile(
      path,
      asked(path, `open to ${mode}`, () => openSync(path, flags, FILE_MODE)),
    );
  },
  list: names,
  makeFolder: (path) =>
    asked(path, 'make the folder', () => void mkdirSync(path, { recursive: true, mode: FOLDER_MODE })),
  rename: (from, to) => asked(from, `rename to ${to}`, () => renameSync(from, to)),
  remove: (path) => asked(path, 'remove', () => rmSync(path, { force: true })),
  removeFolder: (path) => asked(path, 'remove', () => rmdirSync(path)),
  syncFolder: (path) => asked(path, 'sync the folder', () => syncFolder(path)),
  space: (folder) =>
    asked(folder, 'tell its room', () => {
      const { bavail, blocks, bsize } = statfsSync(folder);
      return { freeBytes: bavail * bsize, totalBytes: blocks * bsize };
    }),
};
