/** An archive becomes a run of a library: all of it, as it was archived, or nothing. */
import { rmSync } from 'node:fs';
import { Fault } from '../../src/fault.ts';
import { DiskError } from '../keep/disk.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { runFolder } from '../keep/runLibrary.ts';
import { type ArchiveCheck, checkArchive, readManifest } from './checkArchive.ts';
import type { OpenArchive } from './openArchive.ts';

/** Beside the runs, so that nobody lists it; what a crash left there goes with the next one. */
const UNPACKING = 'unpacking';

/**
 * The caller holds the lock of the data folder.
 * @param pause waited for now and then, where others have work too
 * @throws Fault `not whole` with every place that is not as it was archived, `cannot write`, and those of the archive
 */
export async function unpackRun(
  archive: OpenArchive,
  data: string,
  read: (bytes: number) => void,
  pause?: () => Promise<void>,
): Promise<ArchiveCheck> {
  const { run } = await readManifest(archive);
  const to = runFolder(data, run.id);
  const folder = `${data}/${UNPACKING}`;
  mustBeFree(to);
  rmSync(folder, { recursive: true, force: true });
  try {
    const check = await checkArchive(archive, folder, read, pause);
    const { problems } = check;
    if (problems.length > 0) {
      const lines = problems.map((line) => `${archive.file}: ${line}`);
      throw new Fault('not whole', [...lines, `${archive.file}: nothing was unpacked`].join('\n'));
    }
    nodeDisk.syncFolder(folder);
    nodeDisk.makeFolder(`${data}/runs`);
    nodeDisk.rename(folder, to);
    nodeDisk.syncFolder(`${data}/runs`);
    return check;
  } catch (error) {
    if (error instanceof DiskError) throw new Fault('cannot write', error.message);
    throw error;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function mustBeFree(folder: string): void {
  if (nodeDisk.list(folder).length === 0) return;
  throw new Fault('cannot write', `${folder}: found a run of this id, expected none: it is not replaced`);
}
