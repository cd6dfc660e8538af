/**
 * Spoils the files of a closed run, one place at a time: each spoiling must be named by `verify`, and nothing that is read of
 * the run may differ from what was written.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary, readRun } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { tortureFrame } from './tortureFrame.ts';

const START_MS = Date.UTC(2031, 2, 4);
const FRAMES = 700;
const NOTES = 20;
const ID = 'spoiled';

export interface Spoiled {
  readonly flips: number;
  readonly cuts: number;
}

/** @throws Error that names the file, the place and what was not noticed */
export async function spoilStore({ flips, cuts }: Spoiled, seed: number): Promise<Spoiled> {
  const base = mkdtempSync(join(tmpdir(), 'jointwise-spoil-'));
  try {
    const whole = await closedRun(join(base, 'made'));
    const data = join(base, 'data');
    const folder = join(data, 'runs', ID);
    cpSync(whole, folder, { recursive: true });
    const names = readdirSync(whole);
    const random = seededRandom(seed);
    for (let n = 0; n < flips + cuts; n++) {
      const name = random.pick(names);
      const bytes = readFileSync(join(whole, name));
      const bit = random.whole(0, bytes.length * 8 - 1);
      const spoiled = Buffer.from(n < flips ? bytes : bytes.subarray(0, bit >> 3));
      if (n < flips) spoiled[bit >> 3]! ^= 1 << (bit & 7);
      writeFileSync(join(folder, name), spoiled);
      const where = `${name}, ${n < flips ? `bit ${bit} turned` : `cut to ${bit >> 3} bytes`} (seed ${seed})`;
      if (verifyRun(nodeDisk, folder).whole) throw new Error(`${where}: not noticed`);
      mustBeTrue(data, where);
      writeFileSync(join(folder, name), bytes);
    }
    return { flips, cuts };
  } finally {
    rmSync(base, { recursive: true, force: true });
  }
}

async function closedRun(data: string): Promise<string> {
  const library = new RunLibrary(data, { nowMs: () => START_MS, report: () => {} });
  const { id, run } = await library.create({ name: 'trip', source: 'file', plan: '{"plan":1}' });
  for (let n = 1; n <= FRAMES; n++) void run.record(tortureFrame(n), START_MS + n * 1000);
  for (let n = 0; n < NOTES; n++) {
    await run.journal(
      { at: '2031-03-04T00:00:00Z', by: 'A', action: 'note', text: `note ${n}` },
      START_MS + 900_000 + n,
    );
  }
  await library.end();
  return join(data, 'runs', id);
}

function mustBeTrue(data: string, where: string): void {
  const run = readRun(data, ID);
  try {
    let last = 0;
    for (const item of run.read()) {
      if (item.kind !== 'record' || item.record.kind !== 'bytes') continue;
      const n = (item.record.arrivalMs - START_MS) / 1000;
      if (n <= last || !tortureFrame(n).equals(item.record.bytes))
        throw new Error(`${where}: frame ${n} is read wrong`);
      last = n;
    }
    for (const { entry } of run.journal()) {
      if (!/^note \d+$/.test((JSON.parse(entry) as { text: string }).text))
        throw new Error(`${where}: ${entry} is read wrong`);
    }
    if (run.plans().some(({ text }) => text !== '{"plan":1}')) throw new Error(`${where}: the plan is read wrong`);
  } finally {
    run.close();
  }
}
