/** The real disk, with troubles that a test turns on and off. */
import { type Disk, DiskError, type DiskFile } from '../../server/keep/disk.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';

export class TroubledDisk implements Disk {
  full = false;
  fails = false;
  /** Free share of the disk, where it is not full. */
  freeShare = 0.5;
  /** What `datasync` waits for. */
  held: Promise<void> = Promise.resolve();

  open(path: string, mode: 'read' | 'write'): DiskFile {
    const file = nodeDisk.open(path, mode);
    return {
      path,
      size: () => file.size(),
      read: (into, at) => file.read(into, at),
      write: (bytes, at) => {
        if (this.full) throw new DiskError('full', `${path}: found no room`);
        if (this.fails) throw new DiskError('failed', `${path}: found EIO`);
        file.write(bytes, at);
      },
      truncate: (size) => file.truncate(size),
      datasync: async () => {
        await this.held;
        await file.datasync();
      },
      close: () => file.close(),
    };
  }
  list = (folder: string): string[] => nodeDisk.list(folder);
  makeFolder = (path: string): void => nodeDisk.makeFolder(path);
  rename = (from: string, to: string): void => nodeDisk.rename(from, to);
  remove = (path: string): void => nodeDisk.remove(path);
  removeFolder = (path: string): void => nodeDisk.removeFolder(path);
  syncFolder = (path: string): void => nodeDisk.syncFolder(path);
  space = (): { freeBytes: number; totalBytes: number } => ({
    freeBytes: this.full ? 0 : 1e12 * this.freeShare,
    totalBytes: 1e12,
  });
}
