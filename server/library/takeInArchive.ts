/** The archive of a run, sent by a person, becomes a run of the library while a live one goes on: all of it or nothing. */
import { Fault } from '../../src/fault.ts';
import { OpenArchive } from '../archive/openArchive.ts';
import { unpackRun } from '../archive/unpackRun.ts';
import type { Disk } from '../keep/disk.ts';
import { turns } from '../keep/turns.ts';
import { ROOM_LEFT } from './backupZip.ts';

export interface SentArchive {
  /** Name of the file, for what is said of it, and where it lies. */
  readonly file: string;
  readonly path: string;
}

/**
 * The caller holds the lock of the data folder, and takes in one at a time.
 * @param read told how many bytes of the log have been worked through
 * @returns the id of the run @throws Fault with the place of what is not as it was archived
 */
export async function takeInArchive(
  { file, path }: SentArchive,
  data: string,
  disk: Disk,
  read: (bytes: number) => void,
): Promise<string> {
  try {
    const archive = await OpenArchive.open(path);
    try {
      const wanted = archive.files.reduce((sum, { bytes }) => sum + bytes, ROOM_LEFT);
      const { freeBytes } = disk.space(data);
      if (freeBytes < wanted) {
        throw new Fault('cannot write', `${file}: found ${freeBytes} bytes free on the disk, expected ${wanted}`);
      }
      return (await unpackRun(archive, data, read, turns())).manifest.run.id;
    } finally {
      archive.close();
    }
  } catch (error) {
    // Whoever sent it knows nothing of the folder that it lies in.
    if (error instanceof Fault)
      throw new Fault(error.code, error.message.replaceAll(path, file).replaceAll(`${data}/`, ''));
    throw error;
  }
}
