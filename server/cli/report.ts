/** `report`: a run printed as one PDF, from a recorded stream or from the library. */
import { basename } from 'node:path';
import { FORMATS } from '../../ingest/recognise.ts';
import { Fault } from '../../src/fault.ts';
import type { ReportAgainst } from '../../src/report/reportInput.ts';
import type { UnitSystem } from '../../src/units.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, readRun, runFolder } from '../keep/runLibrary.ts';
import { verifyRun } from '../keep/verifyRun.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import { findRun } from '../recording/findRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { type CountedRun, countedKeptRun, countedRun } from '../report/countedRun.ts';
import { makeReport, recordShown, reportInput } from '../report/makeReport.ts';
import { readCourse } from '../report/readCourse.ts';
import { UnderFirstPlan } from '../report/underFirstPlan.ts';
import { needed, type OptionTable, type OptionValues, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { readInputs } from './readInputs.ts';
import { streamFile } from './streamChunks.ts';
import { unitsOption } from './unitsOption.ts';
import { writeWhole } from './writeWhole.ts';

export const REPORT_OPTIONS = {
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1; a recorded run has its own' },
  in: { type: 'string', value: 'FILE', says: 'the recorded stream' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines' },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  run: { type: 'string', value: 'RUN', says: 'instead of --in: a recorded run of the library, verified on the way' },
  out: { type: 'string', value: 'FILE', says: 'the PDF to write' },
  units: { type: 'string', value: 'SYSTEM', says: 'metric or field; left out: those of the plan' },
  against: { type: 'string', value: 'PLAN', says: 'another plan: the differences that it makes are printed too' },
  'against-run': { type: 'string', value: 'RUN', says: 'another run of the library: the differences are printed too' },
  link: {
    type: 'string',
    value: 'URL',
    says: 'where the live page is: instants in the report then lead to its traces',
  },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

type Options = OptionValues<typeof REPORT_OPTIONS>;

export async function report(args: readonly string[]): Promise<void> {
  const options = readOptions(args, REPORT_OPTIONS);
  const out = needed('out', options.out, 'a file to write to');
  const units = unitsOption(options.units);
  const linkBase = linkOption(options.link);
  if (options.against !== undefined && options['against-run'] !== undefined) {
    throw new Fault('bad option', '--against-run: found it with --against, expected one of them');
  }
  const counted = options.run === undefined ? await ofFile(options) : await ofRun(options, options.run);
  const { id, name, worked, source, extras } = counted;
  const page = linkBase === undefined || id === undefined ? linkBase : `${linkBase}#run=${encodeURIComponent(id)}`;
  const input = reportInput({ worked, source, runName: name, units });
  const against = await againstOf(options, input.units);
  const underFirstPlan = await new UnderFirstPlan().beside(worked, source, input.units);
  const shown = process.stderr.isTTY === true && !options.quiet;
  const bytes = await makeReport(
    { ...input, ...extras, ...(against ? { against } : {}), underFirstPlan },
    { linkBase: page, drawn: (sheet, sheets) => shown && process.stderr.write(`\r\x1b[Ksheet ${sheet} of ${sheets}`) },
  );
  if (shown) process.stderr.write('\r\x1b[K');
  await writeWhole(out, bytes);
}

/** Everything of a link but its hash part, which says the instant. */
function linkOption(text: string | undefined): string | undefined {
  if (text === undefined) return undefined;
  const url = URL.canParse(text) ? new URL(text) : null;
  if (url && (url.protocol === 'http:' || url.protocol === 'https:')) {
    url.hash = '';
    return url.href;
  }
  throw new Fault('bad option', `--link: found "${text}", expected an address that begins with http:// or https://`);
}

async function ofFile(options: Options, plan = options.plan): Promise<CountedRun> {
  const forced = formatOption(options.format);
  const input = needed('in', options.in, 'a recorded stream, or --data and --run');
  if (input === '-' && options.against !== undefined) {
    throw new Fault('bad option', '--in: found - with --against, expected a file: it is read once for each plan');
  }
  const inputs = await readInputs({ plan, channels: options.channels, journal: options.journal });
  const stream = await streamFile(input);
  const progress = createProgress(stream.size, process.stderr.isTTY === true && !options.quiet);
  const { name, chunks } = stream;
  const read = await readCourse(
    inputs,
    inputs.journal,
    'apply',
    { name, chunks, read: progress.at },
    (head, as, sink) => READERS[forced ?? formatOf(name, head)](as, sink),
  ).finally(progress.done);
  return countedRun(basename(name), read, {});
}

/** @param plan left out: the run's own */
async function ofRun(options: Options, wanted: string, plan?: string): Promise<CountedRun> {
  for (const name of ['in', 'journal', 'format'] as const) {
    if (options[name] === undefined) continue;
    throw new Fault('bad option', `--${name}: found it with --run, expected one of them: a recorded run has its own`);
  }
  const data = needed('data', options.data, 'a data folder');
  const { id } = findRun(listRuns(data), wanted);
  const verification = verifyRun(nodeDisk, runFolder(data, id));
  const run = readRun(data, id);
  const progress = createProgress(runBytes(nodeDisk, data, id), process.stderr.isTTY === true && !options.quiet);
  try {
    const other =
      plan === undefined ? undefined : await readInputs({ plan, channels: options.channels, journal: undefined });
    return await countedKeptRun(run, { verification, read: progress.at, plan: other });
  } finally {
    progress.done();
    run.close();
  }
}

/** The same run under another plan, or another run of the library. */
async function againstOf(options: Options, units: UnitSystem): Promise<ReportAgainst | undefined> {
  const { against, run } = options;
  const other = options['against-run'];
  if (against === undefined && other === undefined) return undefined;
  const found =
    other !== undefined
      ? await ofRun({ ...options, in: undefined, journal: undefined, format: undefined }, other)
      : run === undefined
        ? await ofFile(options, against)
        : await ofRun(options, run, against);
  const name = other !== undefined ? `Run ${found.name}` : `The run under ${basename(against!)}`;
  return { name, record: recordShown(found.worked, found.source, units) };
}
