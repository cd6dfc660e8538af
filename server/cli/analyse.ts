/** `analyse`: a recorded stream in, the record of the run out. */
import { FORMATS } from '../../ingest/recognise.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import { needed, type OptionTable, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { readInputs } from './readInputs.ts';
import { recordOfStream } from './recordOfStream.ts';
import { streamFile } from './streamChunks.ts';
import { writeWhole } from './writeWhole.ts';

export const ANALYSE_OPTIONS = {
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1' },
  in: { type: 'string', value: 'FILE', says: 'the recorded stream; - for standard input' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines' },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  out: { type: 'string', value: 'FILE', says: 'write the record there; left out: standard output' },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

export async function analyse(args: readonly string[]): Promise<void> {
  const options = readOptions(args, ANALYSE_OPTIONS);
  const forced = formatOption(options.format);
  const input = needed('in', options.in, 'a recorded stream');
  const { job, journal } = await readInputs(options);
  const stream = await streamFile(input);
  const progress = createProgress(stream.size, process.stderr.isTTY === true && !options.quiet);
  const { name, chunks } = stream;
  const record = await recordOfStream(job, journal, { name, chunks, read: progress.at }, (head, as, sink) =>
    READERS[forced ?? formatOf(name, head)](as, sink),
  ).finally(progress.done);
  const text = `${JSON.stringify(record, null, 2)}\n`;
  if (options.out === undefined) process.stdout.write(text);
  else await writeWhole(options.out, text);
}
