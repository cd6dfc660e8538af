/** `serve` on a trip that comes as a table: from a file and through standard input. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, expect, test } from 'vitest';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import type { Sample } from '../../src/channels.ts';
import { type Program, start } from '../support/program.ts';
import { csvText, lasText } from '../support/tableWriters.ts';

const PLAN = 'replay-data/demo-plan.json';
const samples: Sample[] = [];
beforeAll(async () => {
  const { job } = await readPlan(PLAN);
  const reader = READERS.wits0(job.stream, (sample) => samples.push(sample));
  reader.push(await readFile('replay-data/demo.wits'), Number.NaN);
  reader.end();
});

let programs: Program[] = [];
afterEach(async () => {
  for (const { child } of programs) child.kill('SIGKILL');
  await Promise.all(programs.map(({ ended }) => ended));
  programs = [];
});

async function ingestOf(args: readonly string[], input?: string): Promise<() => Promise<unknown>> {
  const program = start(['serve', '--plan', PLAN, '--port', '0', ...args], input);
  programs.push(program);
  const url = /^jointwise: (http:\/\/[\w.:]+\/)/.exec(await program.firstLine)![1]!;
  return async () => (await fetch(`${url}api/ingest`)).json();
}

test('a file, whose columns without a channel are named', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'jointwise-tables-'));
  try {
    const file = join(folder, 'trip.csv');
    const lines = csvText(samples).split('\r\n');
    await writeFile(file, lines.map((line, i) => (line === '' ? '' : `${line},${i === 0 ? 'Gas' : i}`)).join('\r\n'));
    const ingest = await ingestOf(['--in', file]);
    await expect.poll(ingest, { timeout: 20_000 }).toMatchObject({
      link: 'ended',
      samples: samples.length,
      rejected: {},
      unknownCodes: [{ code: 'Gas', count: samples.length, last: String(samples.length) }],
    });
  } finally {
    await rm(folder, { recursive: true });
  }
});

test('standard input, told by its first bytes; one that cannot be read says why', async () => {
  const ingest = await ingestOf(['--in', '-'], lasText(samples));
  await expect.poll(ingest, { timeout: 20_000 }).toMatchObject({ link: 'ended', samples: samples.length });
  const byDepth = await ingestOf(['--in', '-'], lasText(samples.slice(0, 3)).replace('TIME.S', 'DEPT.M'));
  await expect.poll(byDepth, { timeout: 20_000 }).toMatchObject({
    samples: 0,
    linkDetail: expect.stringMatching(/found "DEPT\.M" as the index, expected a log by time$/),
  });
});

test.each([
  [
    ['--in', 'replay-data/demo.wits', '--format', 'paper'],
    '--format: found "paper", expected one of wits0, csv, las, witsml',
  ],
  [['--listen', '0', '--format', 'csv'], '--format: found it without --in, expected a recorded stream'],
])('serve %j', async (args, line) => {
  const { code, err } = await start(['serve', '--plan', PLAN, '--port', '0', ...args]).ended;
  expect([code, err]).toEqual([2, `${line}\n`]);
});
