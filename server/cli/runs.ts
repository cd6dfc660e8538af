/** `runs`: the recorded runs of a data folder, newest first, one a line. */
import { nodeDisk } from '../keep/nodeDisk.ts';
import { type ListedRun, listRuns } from '../keep/runLibrary.ts';
import { runBytes } from '../recording/runBytes.ts';
import { needed, type OptionTable, readOptions } from './options.ts';

export const RUNS_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  json: { type: 'boolean', says: 'one JSON object a line instead of a table' },
} as const satisfies OptionTable;

const HEADINGS = ['run', 'name', 'source', 'from', 'to', 'state', 'records', 'MB'] as const;

const instant = (ms: number): string => (ms > 0 ? `${new Date(ms).toISOString().slice(0, 19)}Z` : '-');
/** A name or source may hold anything: in a table it stays on its line. */
const oneLine = (text: string): string => text.replace(/\p{Cc}+/gu, ' ').trim() || '-';

function cells({ id, name, source, createdMs, lastMs, state, records }: ListedRun, bytes: number): string[] {
  const mb = (bytes / 1e6).toFixed(1);
  return [id, oneLine(name), oneLine(source), instant(createdMs), instant(lastMs), state, String(records), mb];
}

function table(rows: readonly (readonly string[])[]): string {
  const widths = HEADINGS.map((_, c) => Math.max(...rows.map((row) => row[c]!.length)));
  return rows
    .map((row) =>
      row
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

export async function runs(args: readonly string[]): Promise<void> {
  const options = readOptions(args, RUNS_OPTIONS);
  const data = needed('data', options.data, 'a data folder');
  const listed = listRuns(data).map((run) => ({ run, bytes: runBytes(nodeDisk, data, run.id) }));
  for (const { run } of listed) {
    for (const problem of run.problems) process.stderr.write(`run ${run.id}: ${problem}\n`);
  }
  const lines = options.json
    ? listed.map(({ run, bytes }) => JSON.stringify({ ...run, bytes })).join('\n')
    : table([HEADINGS, ...listed.map(({ run, bytes }) => cells(run, bytes))]);
  process.stdout.write(lines === '' ? '' : `${lines}\n`);
}
