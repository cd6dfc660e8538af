/** A run in one file: what another installation opens is the run, and whatever was changed in it is found by name. */
import { createHash } from 'node:crypto';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Manifest, manifestSchema } from '../../server/archive/archiveManifest.ts';
import { type ArchiveCheck, checkArchive } from '../../server/archive/checkArchive.ts';
import { OpenArchive } from '../../server/archive/openArchive.ts';
import { unpackRun } from '../../server/archive/unpackRun.ts';
import { writeArchive } from '../../server/archive/writeArchive.ts';
import { recordOfKeptRun } from '../../server/cli/recordOfKeptRun.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { listRuns, readRun, runFolder } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { keptPlan } from '../../server/recording/keptRun.ts';
import { recordSchema } from '../../src/record/recordSchema.ts';
import { JOURNAL, libraryWithDemo, PLAN_TEXT, readZip, writeZip, type ZipEntry } from './archivedRun.ts';

let base: string;
let data: string;
let id: string;
let file: string;
let entries: ZipEntry[];

beforeAll(async () => {
  base = mkdtempSync(join(tmpdir(), 'jointwise-archive-'));
  data = join(base, 'data');
  id = await libraryWithDemo(data);
  file = join(base, 'run.zip');
  await writeArchive({ folder: runFolder(data, id), id, out: file, read: () => {} });
  entries = await readZip(file);
}, 60_000);
afterAll(() => rmSync(base, { recursive: true, force: true }));

const recordTextOf = async (library: string): Promise<string> => {
  const run = readRun(library, id);
  try {
    return `${JSON.stringify(await recordOfKeptRun(run, keptPlan(run).job, () => {}), null, 2)}\n`;
  } finally {
    run.close();
  }
};

async function check(path: string): Promise<ArchiveCheck> {
  const archive = await OpenArchive.open(path);
  const folder = mkdtempSync(join(base, 'check-'));
  try {
    return await checkArchive(archive, join(folder, 'run'), () => {});
  } finally {
    archive.close();
    rmSync(folder, { recursive: true });
  }
}

test('holds raw log, journal, plan and record, with the sum of each', async () => {
  const names = entries.map(({ name }) => name);
  expect(names).toEqual([
    'raw/raw-00001.log',
    'raw/head',
    'journal.jsonl',
    'plans/001.json',
    'record.json',
    'manifest.json',
  ]);
  const of = (name: string): string => entries.find((entry) => entry.name === name)!.bytes.toString('utf8');
  const manifest = manifestSchema.parse(JSON.parse(of('manifest.json')));
  for (const { name, bytes, sha256 } of manifest.files) {
    const entry = entries.find((each) => each.name === name)!;
    expect([entry.bytes.length, createHash('sha256').update(entry.bytes).digest('hex')]).toEqual([bytes, sha256]);
  }
  expect(of('plans/001.json')).toBe(PLAN_TEXT);
  expect(
    of('journal.jsonl')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as unknown),
  ).toEqual(JOURNAL);
  recordSchema.parse(JSON.parse(of('record.json')));
  expect(of('record.json')).toBe(await recordTextOf(data));
  expect((await check(file)).problems).toEqual([]);
});

test('the same run gives the same file, and nothing is left beside it', async () => {
  const folder = mkdtempSync(join(base, 'again-'));
  const again = join(folder, 'again.zip');
  await writeArchive({ folder: runFolder(data, id), id, out: again, read: () => {} });
  expect(readFileSync(again).equals(readFileSync(file))).toBe(true);
  expect(readdirSync(folder)).toEqual(['again.zip']);
});

test('a report is put in where one is made', async () => {
  const out = join(base, 'reported.zip');
  await writeArchive({
    folder: runFolder(data, id),
    id,
    out,
    read: () => {},
    report: async (run) => Buffer.from(`%PDF of ${run.info().name}`),
  });
  const found = (await readZip(out)).find(({ name }) => name === 'report.pdf');
  expect(found?.bytes.toString()).toBe('%PDF of trip 4');
  expect((await check(out)).problems).toEqual([]);
});

async function unpack(path: string, into: string): Promise<ArchiveCheck> {
  const archive = await OpenArchive.open(path);
  try {
    return await unpackRun(archive, into, () => {});
  } finally {
    archive.close();
  }
}

test('another installation opens it: the run is whole, sealed, and has the same record', async () => {
  const other = join(base, 'other');
  await unpack(file, other);
  expect(verifyRun(nodeDisk, runFolder(other, id))).toMatchObject({ whole: true, sealed: true, problems: [] });
  expect(verifyRun(nodeDisk, runFolder(other, id)).hash).toBe(verifyRun(nodeDisk, runFolder(data, id)).hash);
  expect(listRuns(other)).toMatchObject([{ id, name: 'trip 4', state: 'closed', problems: [] }]);
  expect(await recordTextOf(other)).toBe(await recordTextOf(data));
  expect(readdirSync(other)).toEqual(['runs']);
  await expect(unpack(file, other)).rejects.toThrow('found a run of this id, expected none');
});

/** The archive with files changed, and the sums in its manifest too: whoever changes one can change the other. */
async function changed(name: string, change: (bytes: Buffer) => Buffer, sums = true): Promise<string> {
  const others = entries.map((entry) =>
    entry.name === name ? { ...entry, bytes: change(Buffer.from(entry.bytes)) } : entry,
  );
  const manifest = JSON.parse(others.at(-1)!.bytes.toString()) as Manifest;
  for (const listed of manifest.files) {
    const { bytes } = others.find((entry) => entry.name === listed.name)!;
    if (sums) Object.assign(listed, { bytes: bytes.length, sha256: createHash('sha256').update(bytes).digest('hex') });
  }
  const written = [...others.slice(0, -1), { name: 'manifest.json', bytes: Buffer.from(JSON.stringify(manifest)) }];
  return writeZip(join(mkdtempSync(join(base, 'changed-')), 'run.zip'), written);
}

const swapped =
  (from: string, to: string) =>
  (bytes: Buffer): Buffer => {
    const text = bytes.toString('latin1');
    expect(text).toContain(from);
    return Buffer.from(text.replace(from, to), 'latin1');
  };
const flipped = (bytes: Buffer): Buffer => {
  bytes[200_000]! ^= 4;
  return bytes;
};
const bound = /"min": 7\d+/.exec(PLAN_TEXT)![0];

describe('changed behind the back of the program, sums and all, is found by name', () => {
  test.each<[string, string, (bytes: Buffer) => Buffer, RegExp]>([
    [
      'a joint of the record',
      'record.json',
      swapped('"verdict": "short"', '"verdict": "expanded"'),
      /record\.json, joints\[\d+\] \(".+"\)\.verdict: found "expanded", expected "short"/,
    ],
    [
      'a limit of the plan',
      'plans/001.json',
      swapped(bound, '"min": 1'),
      /plans\/001\.json, recipes\.screen\.pressure\.min: found 1, expected 7\d+/,
    ],
    [
      'a correction of the journal',
      'journal.jsonl',
      swapped('2400.5', '2400.9'),
      /journal\.jsonl, line 1, depth: found 2400\.9, expected 2400\.5/,
    ],
    [
      'a decision of the journal',
      'journal.jsonl',
      swapped('"accept"', '"reject"'),
      /journal\.jsonl, line 2, action: found "reject", expected "accept"/,
    ],
    [
      'a line more in the journal',
      'journal.jsonl',
      (bytes) => Buffer.concat([bytes, Buffer.from('{}\n')]),
      /journal\.jsonl, line 4: found something, expected nothing/,
    ],
    [
      'a byte of the raw log',
      'raw/raw-00001.log',
      flipped,
      /raw-00001\.log, bytes \d+ to \d+: found the checksum of record \d+ does not hold/,
    ],
    [
      'the end of the raw log',
      'raw/raw-00001.log',
      (bytes) => bytes.subarray(0, bytes.length - 5000),
      /the log ends with record \d+, expected \d+: its tail is lost/,
    ],
  ])('%s', async (_, name, change, line) => {
    const path = await changed(name, change);
    const { problems } = await check(path);
    expect(problems.join('\n')).toMatch(line);
    const other = mkdtempSync(join(base, 'into-'));
    await expect(unpack(path, other)).rejects.toMatchObject({
      code: 'not whole',
      message: expect.stringMatching(line),
    });
    expect(existsSync(join(other, 'runs', id))).toBe(false);
    expect(readdirSync(other)).toEqual([]);
  });

  test('a file without its sum', async () => {
    const path = await changed('record.json', swapped('"verdict": "short"', '"verdict": "expanded"'), false);
    expect((await check(path)).problems[0]).toMatch(/^record\.json: found \d+ bytes, expected \d+/);
  });
});

describe('changed in the data folder, the checksum of the row apart, is found by name', () => {
  const spoil = (sql: string): string => {
    const folder = join(mkdtempSync(join(base, 'spoilt-')), 'runs', id);
    cpSync(runFolder(data, id), folder, { recursive: true });
    const db = new Database(join(folder, 'run.db'));
    db.exec(sql);
    db.close();
    return verifyRun(nodeDisk, folder).problems.join('\n');
  };

  test('a limit, a joint, a correction', () => {
    expect(spoil(`UPDATE plan SET text = replace(text, '${bound}', '"min": 1')`)).toMatch(
      /run\.db, plan of record 2, recipes\.screen\.pressure\.min: found 1, expected 7\d+/,
    );
    expect(spoil(`UPDATE plan SET text = replace(text, '"S1"', '"S9"')`)).toMatch(
      /plan of record 2, liner\.joints\[\d+\] \("S9"\)\.name: found "S9", expected "S1"/,
    );
    expect(spoil(`DROP TRIGGER journal_stays; UPDATE journal SET entry = replace(entry, '2400.5', '2400.9')`)).toMatch(
      /journal row of record \d+, depth: found 2400\.9, expected 2400\.5/,
    );
  });

  test('a raw byte', () => {
    const folder = join(mkdtempSync(join(base, 'spoilt-')), id);
    cpSync(runFolder(data, id), folder, { recursive: true });
    const path = join(folder, 'raw-00001.log');
    const bytes = readFileSync(path);
    bytes[200_000]! ^= 4;
    writeFileSync(path, bytes);
    expect(verifyRun(nodeDisk, folder).problems.join('\n')).toMatch(/found the checksum of record \d+ does not hold/);
  });
});

test('a run that is damaged is archived as it is, and unpacked with what was known to be wrong', async () => {
  const folder = join(mkdtempSync(join(base, 'damaged-')), 'runs', id);
  cpSync(runFolder(data, id), folder, { recursive: true });
  const path = join(folder, 'raw-00001.log');
  const bytes = readFileSync(path);
  bytes[200_000]! ^= 4;
  writeFileSync(path, bytes);
  const out = join(base, 'damaged.zip');
  const { problems } = await writeArchive({ folder, id, out, read: () => {} });
  expect(problems.length).toBeGreaterThan(0);
  const other = mkdtempSync(join(base, 'into-'));
  const { run } = await unpack(out, other);
  expect(run.problems).toEqual(problems);
});
