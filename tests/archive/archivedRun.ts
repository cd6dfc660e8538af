/** A run of the demo in a library, its archive, and archives that somebody has changed. */
import { readFileSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { buffer } from 'node:stream/consumers';
import { openPromise } from 'yauzl';
import { ZipFile } from 'yazl';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import type { RunWriter } from '../../server/keep/runWriter.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { Plan } from '../../src/plan/planSchema.ts';

export const PLAN_TEXT = readFileSync('replay-data/demo-plan.json', 'utf8');
const STREAM = readFileSync('replay-data/demo.wits');
const CHUNK = 100_000;
const MADE_MS = Date.UTC(2031, 4, 12);

const plan = JSON.parse(PLAN_TEXT) as Plan;
const at = '2031-05-12T04:10:00Z';
export const JOURNAL: readonly JournalEntry[] = [
  { at, by: 'night shift', action: 'set depth', tool: plan.tools[0]!.name, depth: 2400.5 },
  { at, by: 'night shift', action: 'accept', joint: 'S1', reason: 'seen on the gauges' },
  { at, by: 'night shift', action: 'note', text: '=1+1' },
];

/** A library with the demo in it. @returns the id of the run */
export async function libraryWithDemo(data: string, name = 'trip 4'): Promise<string> {
  const library = new RunLibrary(data, { nowMs: () => MADE_MS, report: () => {} });
  try {
    const { id, run } = await library.create({ name, source: 'demo.wits', plan: PLAN_TEXT });
    await record(run);
    return id;
  } finally {
    await library.end();
  }
}

async function record(run: RunWriter): Promise<void> {
  await run.link({ kind: 'source', name: 'demo.wits', format: 'wits0', arrival: 'none', tag: 'apply' }, MADE_MS);
  for (let from = 0; from < STREAM.length; from += CHUNK)
    await run.record(STREAM.subarray(from, from + CHUNK), MADE_MS);
  for (const entry of JOURNAL) await run.journal(entry, MADE_MS);
}

export interface ZipEntry {
  readonly name: string;
  readonly bytes: Buffer;
  readonly mode?: number;
}

export async function readZip(file: string): Promise<ZipEntry[]> {
  const zip = await openPromise(file, { lazyEntries: true, autoClose: false });
  const entries: ZipEntry[] = [];
  for await (const entry of zip.eachEntry()) {
    entries.push({ name: entry.fileName, bytes: await buffer(await zip.openReadStreamPromise(entry)) });
  }
  zip.close();
  return entries;
}

/** The names need not be ones that a library would write: they are put in afterwards, byte by byte. */
export async function zipBytes(entries: readonly ZipEntry[]): Promise<Buffer> {
  const zip = new ZipFile();
  const renamed: [string, string][] = [];
  entries.forEach(({ name, bytes, mode = 0o100600 }, i) => {
    const safe = /^[\w./-]+$/.test(name) && !name.includes('..') && !/^\/|\/$/.test(name);
    const written = safe ? name : `${i}`.padEnd(Buffer.byteLength(name), 'x');
    if (!safe) renamed.push([written, name]);
    zip.addBuffer(bytes, written, { mode, mtime: new Date(MADE_MS) });
  });
  zip.end();
  const bytes = await buffer(zip.outputStream);
  for (const [from, to] of renamed) {
    for (let place = bytes.indexOf(from); place >= 0; place = bytes.indexOf(from, place + 1)) bytes.write(to, place);
  }
  return bytes;
}

export async function writeZip(file: string, entries: readonly ZipEntry[]): Promise<string> {
  await writeFile(file, await zipBytes(entries));
  return file;
}
