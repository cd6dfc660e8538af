/** `export`: a run as a file that other programs open. */
import { basename } from 'node:path';
import { FORMATS } from '../../ingest/recognise.ts';
import type { DepthChoice } from '../../src/export/depthLas.ts';
import { EXPORT_KINDS, EXPORT_NAMES, type ExportName } from '../../src/export/exportKinds.ts';
import { workCourse } from '../../src/export/workedCourse.ts';
import { Fault } from '../../src/fault.ts';
import { courseOfStream, type ReadCourse } from '../export/courseOfStream.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, readRun } from '../keep/runLibrary.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import { findRun } from '../recording/findRun.ts';
import { keptPlan } from '../recording/keptRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { keptStream } from './keptStream.ts';
import { needed, numberOption, type OptionTable, type OptionValues, readRunAndOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { readInputs } from './readInputs.ts';
import { streamFile } from './streamChunks.ts';
import { unitsOption } from './unitsOption.ts';
import { writeWhole } from './writeWhole.ts';

const kinds = EXPORT_NAMES.map((name) => `${name} (${EXPORT_KINDS[name].says})`).join(', ');

export const EXPORT_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  run: { type: 'string', value: 'RUN', says: 'a recorded run of the library; it may also stand by itself' },
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1; a recorded run has its own' },
  in: { type: 'string', value: 'FILE', says: 'instead of --run: a recorded stream; - for standard input' },
  journal: { type: 'string', value: 'FILE', says: 'with --in: what people did, JSON Lines' },
  channels: { type: 'string', value: 'FILE', says: 'with --in: a channel map, jointwise-channels/1' },
  format: { type: 'string', value: 'NAME', says: `with --in: ${FORMATS.join(', ')}; left out: recognised` },
  as: { type: 'string', value: 'KIND', says: kinds },
  out: { type: 'string', value: 'FILE', says: 'where it is written' },
  units: { type: 'string', value: 'SYSTEM', says: 'metric or field; left out: those of the plan' },
  tool: { type: 'string', value: 'NAME', says: 'las-depth: of this tool; left out: of those that each joint names' },
  pass: { type: 'string', value: 'N', says: 'las-depth: its Nth pass over each depth; left out: the last' },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

type ExportOptions = OptionValues<typeof EXPORT_OPTIONS>;
const MOST_PASSES = 10_000;

interface NamedCourse extends ReadCourse {
  readonly name: string;
}

export async function exportRun(args: readonly string[]): Promise<void> {
  const options = readRunAndOptions(args, EXPORT_OPTIONS);
  const as = kindOption(options.as);
  const units = unitsOption(options.units);
  const choice = depthChoice(as, options);
  const out = needed('out', options.out, 'a file to write to');
  const { course, source, name } = options.run === undefined ? await ofFile(options) : await ofRun(options);
  const { rows } = course.samples;
  const progress = createProgress(rows, isShown(options), 'worked through');
  const work = workCourse(course, source);
  let turn = work.next();
  for (; !turn.done; turn = work.next()) progress.at(turn.value);
  progress.done();
  const input = { ...turn.value, name, units: units ?? course.plan.units };
  await writeWhole(out, told(EXPORT_KINDS[as].write(input, choice), isShown(options)));
}

const isShown = ({ quiet }: ExportOptions): boolean => process.stderr.isTTY === true && !quiet;

/** The pieces as they come, and how much has been written. */
function* told(pieces: Iterable<string>, shown: boolean): Generator<string> {
  const progress = createProgress(undefined, shown, 'written');
  let written = 0;
  for (const piece of pieces) {
    yield piece;
    written += piece.length;
    progress.at(written);
  }
  progress.done();
}

function kindOption(as: string | undefined): ExportName {
  const name = needed('as', as, EXPORT_NAMES.join(', '));
  if (EXPORT_NAMES.includes(name as ExportName)) return name as ExportName;
  throw new Fault('bad option', `--as: found "${name}", expected one of ${EXPORT_NAMES.join(', ')}`);
}

function depthChoice(as: ExportName, { tool, pass }: ExportOptions): DepthChoice {
  for (const [name, value] of Object.entries({ tool, pass })) {
    if (value !== undefined && as !== 'las-depth')
      throw new Fault('bad option', `--${name}: found it with --as ${as}, expected las-depth`);
  }
  const number = pass === undefined ? undefined : numberOption('pass', pass, 1, 1, MOST_PASSES);
  if (number !== undefined && !Number.isInteger(number))
    throw new Fault('bad option', `--pass: found "${pass}", expected a whole number`);
  return { tool, pass: number };
}

async function ofFile(options: ExportOptions): Promise<NamedCourse> {
  const forced = formatOption(options.format);
  const input = needed('in', options.in, 'a recorded stream, or --run with a run of the library');
  const { plan, job, journal } = await readInputs(options);
  const { name, size, chunks } = await streamFile(input);
  const progress = createProgress(size, isShown(options));
  const read = await courseOfStream(
    { plan, job, journal, tag: 'apply' },
    { name, chunks, read: progress.at },
    (head, as, sink) => READERS[forced ?? formatOf(name, head)](as, sink),
  ).finally(progress.done);
  return { ...read, name: input === '-' ? job.well || 'run' : basename(input) };
}

async function ofRun(options: ExportOptions): Promise<NamedCourse> {
  for (const name of ['in', 'plan', 'journal', 'channels', 'format'] as const) {
    if (options[name] === undefined) continue;
    throw new Fault('bad option', `--${name}: found it with a run, expected one of them: a recorded run has its own`);
  }
  const data = needed('data', options.data, 'a data folder');
  const { id } = findRun(listRuns(data), options.run!);
  const run = readRun(data, id);
  const progress = createProgress(runBytes(nodeDisk, data, id), isShown(options));
  try {
    const { plan, job } = keptPlan(run);
    const { journal, stream, makeReader, tag } = keptStream(run, progress.at);
    const read = await courseOfStream({ plan, job, journal, tag }, stream, makeReader);
    return { ...read, name: run.info().name || id };
  } finally {
    progress.done();
    run.close();
  }
}
