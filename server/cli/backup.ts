/** `backup`: a copy of a run, up to the record that was the last on the disk when it began. */
import { backupRun } from '../keep/backupRun.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, runFolder } from '../keep/runLibrary.ts';
import { findRun } from '../recording/findRun.ts';
import { needed, type OptionTable, readNameAndOptions } from './options.ts';

export const BACKUP_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  to: { type: 'string', value: 'FOLDER', says: 'where the copy goes: empty, or not there yet' },
} as const satisfies OptionTable;

export async function backup(args: readonly string[]): Promise<void> {
  const options = readNameAndOptions(args, BACKUP_OPTIONS, 'the run to copy');
  const data = needed('data', options.data, 'a data folder');
  const to = needed('to', options.to, 'a folder for the copy');
  const { id } = findRun(listRuns(data), options.name);
  const { number, hash, problems } = await backupRun(nodeDisk, runFolder(data, id), to, id);
  for (const problem of problems) process.stderr.write(`copied as it is, not whole: ${problem}\n`);
  process.stdout.write(`run ${id}: ${number} records, chain ${hash}\n`);
}
