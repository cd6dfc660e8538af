/** A backup of a run as one file: what `backup` writes, in a zip, which `restore` takes once it is unpacked. */
import { randomBytes } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { Readable } from 'node:stream';
import yazl from 'yazl';
import { Fault } from '../../src/fault.ts';
import { backupRun } from '../keep/backupRun.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { runFolder } from '../keep/runLibrary.ts';
import { runBytes } from '../recording/runBytes.ts';

/** Copies are made here, beside the runs, and go when they have been sent. */
export const COPIES_FOLDER = 'backups';
/** Room that is left to the recording, bytes. */
export const ROOM_LEFT = 64 * 1024 * 1024;

/** What an earlier start left behind. */
export const clearBackups = (data: string): Promise<void> =>
  rm(`${data}/${COPIES_FOLDER}`, { recursive: true, force: true });

/** @throws Fault */
export async function backupZip(data: string, id: string): Promise<Readable> {
  const { freeBytes } = nodeDisk.space(data);
  const wanted = runBytes(nodeDisk, data, id) + ROOM_LEFT;
  if (freeBytes < wanted) {
    throw new Fault('cannot write', `run ${id}: found ${freeBytes} bytes free on the disk, expected ${wanted}`);
  }
  const folder = `${data}/${COPIES_FOLDER}/${id}-${randomBytes(4).toString('hex')}`;
  const takeAway = () => rm(folder, { recursive: true, force: true });
  try {
    await backupRun(nodeDisk, runFolder(data, id), folder, id);
  } catch (error) {
    await takeAway();
    throw error;
  }
  const zip = new yazl.ZipFile();
  // The log compresses well; the lowest level takes a third of the time of the usual one.
  for (const name of readdirSync(folder)) {
    zip.addFile(`${folder}/${name}`, `${id}/${name}`, { compressionLevel: 1, mode: 0o100600 });
  }
  zip.end();
  const stream = Readable.from(zip.outputStream as AsyncIterable<Buffer>, { objectMode: false });
  stream.on('close', () => void takeAway());
  zip.on('error', (error: Error) => stream.destroy(error));
  return stream;
}
