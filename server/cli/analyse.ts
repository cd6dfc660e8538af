/** `analyse`: a recorded stream in, the record of the run out. */
import { FORMATS } from '../../ingest/recognise.ts';
import { Fault } from '../../src/fault.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, readRun } from '../keep/runLibrary.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import { findRun } from '../recording/findRun.ts';
import { keptPlan } from '../recording/keptRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { comparePlans } from './comparePlans.ts';
import { needed, type OptionTable, type OptionValues, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { readInputs } from './readInputs.ts';
import { recordOfKeptRun } from './recordOfKeptRun.ts';
import { recordOfStream } from './recordOfStream.ts';
import { streamFile } from './streamChunks.ts';
import { writeWhole } from './writeWhole.ts';

export const ANALYSE_OPTIONS = {
  plan: {
    type: 'string',
    multiple: true,
    value: 'FILE',
    says: 'the plan, jointwise-plan/1; a recorded run has its own. More than one: a table of what is different under each',
  },
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  run: { type: 'string', value: 'RUN', says: 'instead of --in: a recorded run of the library, with its journal' },
  in: { type: 'string', value: 'FILE', says: 'the recorded stream; - for standard input' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines' },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  out: {
    type: 'string',
    value: 'FILE',
    says: 'write the record there; left out: standard output. Of several plans: all records',
  },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

type AnalyseOptions = Omit<OptionValues<typeof ANALYSE_OPTIONS>, 'plan'> & { readonly plan: string | undefined };
const MOST_PLANS = 20;

export async function analyse(args: readonly string[]): Promise<void> {
  const { plan: plans = [], ...rest } = readOptions(args, ANALYSE_OPTIONS);
  const recordUnder = (plan: string | undefined): Promise<RunRecord> => {
    const options = { ...rest, plan };
    return options.run === undefined ? recordOfFile(options) : recordOfRun(options);
  };
  if (plans.length > 1) {
    await compare(plans, rest, recordUnder);
    return;
  }
  const record = await recordUnder(plans[0]);
  const text = `${JSON.stringify(record, null, 2)}\n`;
  if (rest.out === undefined) process.stdout.write(text);
  else await writeWhole(rest.out, text);
}

/** The table to standard output; the records beside it to a file, where one is named. */
async function compare(
  plans: readonly string[],
  { in: input, out }: Pick<AnalyseOptions, 'in' | 'out'>,
  recordUnder: (plan: string) => Promise<RunRecord>,
): Promise<void> {
  if (plans.length > MOST_PLANS) {
    throw new Fault('bad option', `--plan: found ${plans.length}, expected at most ${MOST_PLANS}`);
  }
  if (input === '-') {
    throw new Fault('bad option', '--in: found - with several plans, expected a file: it is read once for each');
  }
  const records = [];
  for (const plan of plans) records.push({ plan, record: await recordUnder(plan) });
  const { file, table } = comparePlans(records);
  if (out !== undefined) await writeWhole(out, `${JSON.stringify(file, null, 2)}\n`);
  process.stdout.write(table);
}

async function recordOfFile(options: AnalyseOptions): Promise<RunRecord> {
  const forced = formatOption(options.format);
  const input = needed('in', options.in, 'a recorded stream');
  const { job, journal } = await readInputs(options);
  const stream = await streamFile(input);
  const progress = createProgress(stream.size, process.stderr.isTTY === true && !options.quiet);
  const { name, chunks } = stream;
  return recordOfStream(job, journal, { name, chunks, read: progress.at }, (head, as, sink) =>
    READERS[forced ?? formatOf(name, head)](as, sink),
  ).finally(progress.done);
}

/** The truth of the run, worked through again: its bytes, its journal, its plan or another. */
async function recordOfRun(options: AnalyseOptions): Promise<RunRecord> {
  for (const name of ['in', 'journal', 'format'] as const) {
    if (options[name] === undefined) continue;
    throw new Fault('bad option', `--${name}: found it with --run, expected one of them: a recorded run has its own`);
  }
  const data = needed('data', options.data, 'a data folder');
  const { id } = findRun(listRuns(data), options.run!);
  const run = readRun(data, id);
  const bytes = runBytes(nodeDisk, data, id);
  const progress = createProgress(bytes, process.stderr.isTTY === true && !options.quiet);
  try {
    const { job } = options.plan === undefined ? keptPlan(run) : await readInputs(options);
    return await recordOfKeptRun(run, job, progress.at);
  } finally {
    progress.done();
    run.close();
  }
}
