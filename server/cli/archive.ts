/** `archive`: a run in one file, which another installation opens. */
import { archivedReport } from '../archive/archivedReport.ts';
import { writeArchive } from '../archive/writeArchive.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, runFolder } from '../keep/runLibrary.ts';
import { findRun } from '../recording/findRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { needed, type OptionTable, readRunAndOptions } from './options.ts';
import { createProgress } from './progress.ts';

export const ARCHIVE_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  run: { type: 'string', value: 'RUN', says: 'a recorded run of the library; it may also stand by itself' },
  out: { type: 'string', value: 'FILE', says: 'the archive, a .zip' },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

export async function archive(args: readonly string[]): Promise<void> {
  const options = readRunAndOptions(args, ARCHIVE_OPTIONS);
  const data = needed('data', options.data, 'a data folder');
  const said = needed('run', options.run, 'a recorded run');
  const out = needed('out', options.out, 'a file to write to');
  const { id } = findRun(listRuns(data), said);
  const progress = createProgress(runBytes(nodeDisk, data, id), process.stderr.isTTY === true && !options.quiet);
  const folder = runFolder(data, id);
  const { files, last, problems } = await writeArchive({
    folder,
    id,
    out,
    read: progress.at,
    report: archivedReport(progress.at),
  }).finally(progress.done);
  for (const problem of problems) process.stderr.write(`archived as it is, not whole: ${problem}\n`);
  process.stdout.write(`run ${id}: ${files.length} files, ${last.number} records, chain ${last.hash}\n`);
}
