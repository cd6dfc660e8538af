/** `verify`: walks a recorded run from its first record and says what is whole and what is not. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '../../src/fault.ts';
import { checkArchive } from '../archive/checkArchive.ts';
import { OpenArchive } from '../archive/openArchive.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { listRuns, runFolder } from '../keep/runLibrary.ts';
import { type Hole, type RunCheck, verifyRun } from '../keep/verifyRun.ts';
import { findRun } from '../recording/findRun.ts';
import { needed, type OptionTable, readRunAndOptions } from './options.ts';

export const VERIFY_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  run: { type: 'string', value: 'RUN', says: 'a recorded run of the library; it may also stand by itself' },
  in: { type: 'string', value: 'FILE', says: 'instead of a run: an archive' },
  json: { type: 'boolean', says: 'all that was found, as JSON' },
} as const satisfies OptionTable;

/** Lines of one kind that are written out; the rest are counted. */
const MOST_LINES = 1000;

const instant = (ms: number | null): string => (ms === null ? 'unknown' : new Date(ms).toISOString());

function holeLine({ afterNumber, beforeNumber, fromMs, toMs, why }: Hole): string {
  const between = `behind record ${afterNumber ?? 'unknown'}, before ${beforeNumber ?? 'the end'}`;
  return `hole ${between}, from ${instant(fromMs)} to ${instant(toMs)}: ${why}`;
}

function most(lines: readonly string[], what: string): string[] {
  if (lines.length <= MOST_LINES) return [...lines];
  return [...lines.slice(0, MOST_LINES), `${lines.length - MOST_LINES} more ${what}`];
}

export function checkText(id: string, check: RunCheck): string {
  const { records, lastNumber, hash, sealed, segments, journalRows, plans } = check;
  return [
    `run ${id}: ${check.whole ? 'whole' : 'not whole'}`,
    `records ${records}, the last one ${lastNumber}, chain ${hash || 'empty'}`,
    `journal ${journalRows} entries, plans ${plans}, ${sealed ? 'closed and sealed' : 'not closed'}`,
    ...segments.map(({ name, records: held, bytes, damages }) => {
      return `${name}: ${held} records, ${bytes} bytes, ${damages === 0 ? 'whole' : `${damages} damaged places`}`;
    }),
    ...most(check.holes.map(holeLine), 'holes'),
    ...most(
      check.problems.map((problem) => `not whole: ${problem}`),
      'problems',
    ),
  ].join('\n');
}

/** @throws Fault `not whole`, behind the answer on standard output. */
export async function verify(args: readonly string[]): Promise<void> {
  const options = readRunAndOptions(args, VERIFY_OPTIONS);
  if (options.in !== undefined) {
    if (options.run !== undefined || options.data !== undefined) {
      throw new Fault('bad option', '--in: found it with a run of a library, expected one of them');
    }
    await verifyArchive(options.in, options.json === true);
    return;
  }
  if (options.run === undefined) throw new Fault('bad option', 'found nothing, expected the run to verify');
  const data = needed('data', options.data, 'a data folder');
  const { id } = findRun(listRuns(data), options.run);
  answer(id, verifyRun(nodeDisk, runFolder(data, id)), options.json === true);
}

/** In a folder of its own, which is taken away again. */
async function verifyArchive(file: string, json: boolean): Promise<void> {
  const archive = await OpenArchive.open(file);
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-verify-'));
  try {
    const { manifest, run, problems: found } = await checkArchive(archive, join(folder, 'run'), () => {});
    const problems = [...new Set([...run.problems, ...found])];
    answer(manifest.run.id, { ...run, whole: problems.length === 0, problems }, json);
  } finally {
    archive.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function answer(id: string, check: RunCheck, json: boolean): void {
  process.stdout.write(`${json ? JSON.stringify({ id, ...check }) : checkText(id, check)}\n`);
  if (check.whole) return;
  const { length } = check.problems;
  throw new Fault(
    'not whole',
    `run ${id}: found ${length} ${length === 1 ? 'place' : 'places'} not whole, expected none`,
  );
}
