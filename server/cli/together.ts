/** `together`: the runs of a library side by side, and the joints that are unlike their kind. */
import { Fault } from '../../src/fault.ts';
import { MEASURE_NAMES, MEASURES } from '../../src/together/measures.ts';
import { together as layTogether, type RunBeside } from '../../src/together/together.ts';
import { TOGETHER_LIMITS, type Together } from '../../src/together/togetherSchema.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { type ListedRun, listRuns, readRun } from '../keep/runLibrary.ts';
import { readCaliper } from '../plan/readCaliper.ts';
import { findRun } from '../recording/findRun.ts';
import { runBytes } from '../recording/runBytes.ts';
import { runBeside } from '../together/runBeside.ts';
import { needed, type OptionTable, readOptions } from './options.ts';
import { createProgress } from './progress.ts';
import { writeWhole } from './writeWhole.ts';

export const TOGETHER_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  runs: { type: 'string', value: 'A,B', says: 'ids or names; left out: all' },
  caliper: {
    type: 'string',
    multiple: true,
    value: 'RUN=FILE',
    says: 'the caliper log of a run, by which its joints are parted too; repeatable',
  },
  json: { type: 'boolean', says: 'all that was found, as JSON' },
  out: { type: 'string', value: 'FILE', says: 'write there instead of to standard output' },
  quiet: { type: 'boolean', says: 'no progress' },
} as const satisfies OptionTable;

export async function together(args: readonly string[]): Promise<void> {
  const options = readOptions(args, TOGETHER_OPTIONS);
  const data = needed('data', options.data, 'a data folder');
  const listed = listRuns(data);
  const runs = options.runs === undefined ? listed : options.runs.split(',').map((said) => findRun(listed, said));
  if (runs.length === 0) throw new Fault('nothing usable', `${data}: found no run, expected one`);
  if (runs.length > TOGETHER_LIMITS.runs) {
    throw new Fault('bad option', `--runs: found ${runs.length} runs, expected at most ${TOGETHER_LIMITS.runs}`);
  }
  const found = layTogether(await counted(data, [...new Set(runs)], calipers(options.caliper, listed), options.quiet));
  const text = options.json ? `${JSON.stringify(found, null, 2)}\n` : togetherText(found);
  if (options.out === undefined) process.stdout.write(text);
  else await writeWhole(options.out, text);
}

/** Files by the id of their run. */
function calipers(said: readonly string[] | undefined, listed: readonly ListedRun[]): ReadonlyMap<string, string> {
  const pairs = (said ?? []).map((text) => {
    const at = text.indexOf('=');
    if (at < 1) throw new Fault('bad option', `--caliper: found "${text}", expected RUN=FILE`);
    return [findRun(listed, text.slice(0, at)).id, text.slice(at + 1)] as const;
  });
  return new Map(pairs);
}

/** One after the other; a run that cannot be counted is said, and left out. */
async function counted(
  data: string,
  runs: readonly ListedRun[],
  files: ReadonlyMap<string, string>,
  quiet: boolean | undefined,
): Promise<RunBeside[]> {
  const beside: RunBeside[] = [];
  for (const { id } of runs) {
    const file = files.get(id);
    const run = readRun(data, id);
    const progress = createProgress(runBytes(nodeDisk, data, id), process.stderr.isTTY === true && !quiet);
    try {
      const caliper =
        file === undefined ? {} : { caliper: (job: Parameters<typeof readCaliper>[1]) => readCaliper(file, job) };
      beside.push(await runBeside(run, { ...caliper, read: progress.at }));
    } catch (error) {
      if (!(error instanceof Fault) || error.code === 'bad caliper') throw error;
      process.stderr.write(`run ${id} is left out: ${error.message}\n`);
    } finally {
      progress.done();
      run.close();
    }
  }
  if (beside.length === 0) throw new Fault('nothing usable', `${data}: found no run that can be counted, expected one`);
  return beside;
}

/** A name may hold anything: in a table it stays on its line. */
const oneLine = (text: string): string => text.replace(/\p{Cc}+/gu, ' ');

function togetherText({ runs, measures, groups, odd, oddLeftOut, rule }: Together): string {
  const names = new Map(runs.map(({ id, name }) => [id, oneLine(name)]));
  const heads = measures.map(({ says, unit }) => (unit ? `${says} (${unit})` : says));
  const rows = groups.map(({ by, kind, name, joints, spreads }) => [
    kind,
    by === 'kind' ? 'all' : `${by} ${by === 'run' ? (names.get(name) ?? name) : oneLine(name)}`,
    String(joints),
    ...MEASURE_NAMES.map((measure) => {
      const spread = spreads[measure];
      if (!spread) return '-';
      const { decimals } = MEASURES[measure];
      return `${spread.median.toFixed(decimals)} ± ${spread.sigma.toFixed(decimals)}`;
    }),
  ]);
  const lines = [
    ...runs.map(
      ({ id, name, joints, expanded }) => `run ${id} ${oneLine(name)}: ${expanded} of ${joints} joints expanded`,
    ),
    '',
    ...table([['kind', 'of', 'joints', ...heads], ...rows]),
    '',
    `unlike their kind (${rule}): ${odd.length === 0 ? 'none' : odd.length + oddLeftOut}`,
    ...odd.map(({ run, joint, why, score }) => `${names.get(run)}, ${joint}: ${why} (${score.toFixed(1)} σ)`),
  ];
  return `${lines.join('\n')}\n`;
}

function table(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => row[c]!.length)));
  return rows.map((row) =>
    row
      .map((cell, c) => cell.padEnd(widths[c]!))
      .join('  ')
      .trimEnd(),
  );
}
