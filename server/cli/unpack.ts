/** `unpack`: the archive of a run becomes a run of this library, or nothing of it does. */
import { systemClock } from '../../ingest/clock.ts';
import { OpenArchive } from '../archive/openArchive.ts';
import { unpackRun } from '../archive/unpackRun.ts';
import { RunLibrary } from '../keep/runLibrary.ts';
import { needed, type OptionTable, readOptions } from './options.ts';
import { createProgress } from './progress.ts';

export const UNPACK_OPTIONS = {
  in: { type: 'string', value: 'FILE', says: 'the archive' },
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

export async function unpack(args: readonly string[]): Promise<void> {
  const options = readOptions(args, UNPACK_OPTIONS);
  const file = needed('in', options.in, 'an archive');
  const data = needed('data', options.data, 'a data folder');
  const opened = await OpenArchive.open(file);
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  try {
    const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
    const progress = createProgress(undefined, process.stderr.isTTY === true && !options.quiet);
    try {
      const { manifest, run } = await unpackRun(opened, data, progress.at).finally(progress.done);
      for (const problem of run.problems) report(`unpacked as it was archived, not whole: ${problem}`);
      process.stdout.write(`run ${manifest.run.id}: ${run.lastNumber} records, chain ${run.hash}\n`);
    } finally {
      await library.end();
    }
  } finally {
    opened.close();
  }
}
