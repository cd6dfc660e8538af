/** `restore`: a backup becomes a run of a library again, with the same hash, or nothing of it does. */
import { systemClock } from '../../ingest/clock.ts';
import { readBackup, restoreRun } from '../keep/backupRun.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { RunLibrary, runFolder } from '../keep/runLibrary.ts';
import { needed, type OptionTable, readOptions } from './options.ts';

export const RESTORE_OPTIONS = {
  from: { type: 'string', value: 'FOLDER', says: 'the backup' },
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
} as const satisfies OptionTable;

export async function restore(args: readonly string[]): Promise<void> {
  const options = readOptions(args, RESTORE_OPTIONS);
  const from = needed('from', options.from, 'a backup');
  const data = needed('data', options.data, 'a data folder');
  const { id } = readBackup(nodeDisk, from);
  const to = runFolder(data, id);
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
  try {
    const { lastNumber, hash, problems } = await restoreRun(nodeDisk, from, to);
    for (const problem of problems) report(`restored as it was copied, not whole: ${problem}`);
    process.stdout.write(`run ${id}: ${lastNumber} records, chain ${hash}\n`);
  } finally {
    await library.end();
  }
}
