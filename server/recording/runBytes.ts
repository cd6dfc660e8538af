/** What a run takes on the disk: its log, its index, what is kept beside it. */
import type { Disk } from '../keep/disk.ts';
import { DiskError } from '../keep/disk.ts';
import { runFolder } from '../keep/runLibrary.ts';

/** Bytes. A file that goes while it is looked at counts as nothing. */
export function runBytes(disk: Disk, data: string, id: string): number {
  const folder = runFolder(data, id);
  const folders = [folder, `${folder}/cache`];
  return folders
    .flatMap((each) => disk.list(each).map((name) => `${each}/${name}`))
    .reduce((sum, path) => sum + sizeOf(disk, path), 0);
}

function sizeOf(disk: Disk, path: string): number {
  try {
    const file = disk.open(path, 'read');
    try {
      return file.size();
    } finally {
      file.close();
    }
  } catch (error) {
    if (error instanceof DiskError) return 0;
    throw error;
  }
}
