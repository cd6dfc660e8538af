/**
 * The disk behind an interface, so that a simulated one that tears, forgets, lies and fills up drives the same code as the
 * real one. Small reads and writes go through the system's cache and are done at once; only `datasync` waits.
 */

/** `full`: no room. `missing`: no such file. `refused`: no right to. `failed`: anything else that a disk may say. */
export type DiskTrouble = 'full' | 'missing' | 'refused' | 'failed';

/** What the disk said of one call. Carries one line: the path, what was tried, what came back. */
export class DiskError extends Error {
  readonly trouble: DiskTrouble;
  constructor(trouble: DiskTrouble, line: string) {
    super(line);
    this.name = 'DiskError';
    this.trouble = trouble;
  }
}

/** Every call may throw DiskError. Positions and sizes are bytes from the start of the file. */
export interface DiskFile {
  readonly path: string;
  size(): number;
  /** Answers how many bytes were read: fewer than asked for only at the end of the file. */
  read(into: Uint8Array, at: number): number;
  /** Into the system's cache, whole; when it throws, any part may have been written. */
  write(bytes: Uint8Array, at: number): void;
  truncate(size: number): void;
  /** Resolves when what was written is on the disk; when it rejects, nothing is known of what was written since the last. */
  datasync(): Promise<void>;
  close(): void;
}

export interface DiskSpace {
  readonly freeBytes: number;
  readonly totalBytes: number;
}

/** Every call may throw DiskError. */
export interface Disk {
  /** `write` makes the file when it is missing, and never cuts it. */
  open(path: string, mode: 'read' | 'write'): DiskFile;
  /** Names in a folder, sorted, without those that only point elsewhere; none when the folder is missing. */
  list(folder: string): string[];
  /** With those above it. */
  makeFolder(path: string): void;
  rename(from: string, to: string): void;
  remove(path: string): void;
  /** One that is empty. */
  removeFolder(path: string): void;
  /** The names in the folder are on the disk afterwards. */
  syncFolder(path: string): void;
  space(folder: string): DiskSpace;
}

/** The whole file. @param most bytes; a larger file is refused. @throws DiskError */
export function readWhole(disk: Disk, path: string, most: number): Uint8Array {
  const file = disk.open(path, 'read');
  try {
    const size = file.size();
    if (size > most) throw new DiskError('failed', `${path}: found ${size} bytes, expected at most ${most}`);
    const bytes = new Uint8Array(size);
    return bytes.subarray(0, file.read(bytes, 0));
  } finally {
    file.close();
  }
}

/** The file as a whole or not at all: written beside, synced, renamed. @throws DiskError */
export async function writeWhole(disk: Disk, folder: string, name: string, bytes: Uint8Array): Promise<void> {
  const part = `${folder}/${name}.part`;
  const file = disk.open(part, 'write');
  try {
    file.truncate(0);
    file.write(bytes, 0);
    await file.datasync();
  } finally {
    file.close();
  }
  disk.rename(part, `${folder}/${name}`);
  disk.syncFolder(folder);
}
