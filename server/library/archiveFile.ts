/** The archive of a run for a download: written beside the runs, while a live one goes on, and taken away once it was sent. */
import { randomBytes } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { mkdir, rm, stat } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { Fault } from '../../src/fault.ts';
import { archivedReport } from '../archive/archivedReport.ts';
import { writeArchive } from '../archive/writeArchive.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { runFolder } from '../keep/runLibrary.ts';
import { turns } from '../keep/turns.ts';
import { runBytes } from '../recording/runBytes.ts';
import { COPIES_FOLDER, ROOM_LEFT } from './backupZip.ts';

export interface ArchiveFile {
  readonly bytes: number;
  readonly stream: Readable;
}

/** Of each data folder one at a time: each counts the run twice, for its record and for its report. */
const underWay = new Set<string>();

/** @throws Fault */
export async function archiveFile(data: string, id: string): Promise<ArchiveFile> {
  if (underWay.has(data)) throw new Fault('bad option', 'archive: found one being written, expected to wait for it');
  const { freeBytes } = nodeDisk.space(data);
  // The copy that is archived, and the archive of it.
  const wanted = 2 * runBytes(nodeDisk, data, id) + ROOM_LEFT;
  if (freeBytes < wanted) {
    throw new Fault('cannot write', `run ${id}: found ${freeBytes} bytes free on the disk, expected ${wanted}`);
  }
  underWay.add(data);
  const folder = `${data}/${COPIES_FOLDER}`;
  const out = `${folder}/${id}-${randomBytes(4).toString('hex')}.zip`;
  const pause = turns();
  const read = (): void => {};
  try {
    await mkdir(folder, { recursive: true, mode: 0o700 });
    await writeArchive({ folder: runFolder(data, id), id, out, read, pause, report: archivedReport(read, pause) });
    const { size } = await stat(out);
    const stream = createReadStream(out);
    stream.on('close', () => void rm(out, { force: true }));
    return { bytes: size, stream };
  } catch (error) {
    await rm(out, { force: true });
    throw error;
  } finally {
    underWay.delete(data);
  }
}
