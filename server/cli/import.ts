/** `import`: a recorded stream becomes a run of the library: read through once to see that it can be, then kept as it is. */
import { basename } from 'node:path';
import { systemClock } from '../../ingest/clock.ts';
import { FORMATS } from '../../ingest/recognise.ts';
import { Fault } from '../../src/fault.ts';
import { RunLibrary } from '../keep/runLibrary.ts';
import { formatOption } from '../readers.ts';
import { readThrough, takeIn } from '../recording/readThrough.ts';
import { importText } from './importText.ts';
import { needed, type OptionTable, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { readInputs } from './readInputs.ts';
import { streamFile } from './streamChunks.ts';

export const IMPORT_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1' },
  in: { type: 'string', value: 'FILE', says: 'the recorded stream' },
  name: { type: 'string', value: 'NAME', says: 'name of the run; left out: that of the file' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines: it becomes the journal of the run' },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

export async function importRun(args: readonly string[]): Promise<void> {
  const options = readOptions(args, IMPORT_OPTIONS);
  const data = needed('data', options.data, 'a data folder');
  const file = needed('in', options.in, 'a recorded stream');
  if (file === '-') throw new Fault('bad option', '--in: found standard input, expected a file: it is read twice');
  const forced = formatOption(options.format);
  const inputs = await readInputs(options);
  const stream = await streamFile(file);
  const progress = createProgress(stream.size, process.stderr.isTTY === true && !options.quiet);
  const found = await readThrough(stream, inputs.job.stream, forced, progress.at).finally(progress.done);
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
  try {
    const name = options.name ?? basename(file);
    const source = basename(file);
    const { journal, text: planText } = inputs;
    const nowMs = () => systemClock.nowMs();
    const id = await takeIn(library, data, stream, { name, source, format: found.format, planText, journal, nowMs });
    process.stdout.write(`${importText(id, name, found)}\n`);
  } finally {
    await library.end();
  }
}
