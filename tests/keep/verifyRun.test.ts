import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { backupRun, restoreRun } from '../../server/keep/backupRun.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary, readRun } from '../../server/keep/runLibrary.ts';
import { type RunCheck, verifyRun } from '../../server/keep/verifyRun.ts';
import { Fault } from '../../src/fault.ts';

const START_MS = Date.UTC(2031, 2, 4);
const ID = 'copy';
const FRAMES = 700;
let base: string;
let whole: string;
let data: string;

const frame = (n: number): string => `&&\r\n0108${n}.5\r\n!!\r\n`;

beforeAll(async () => {
  base = mkdtempSync(join(tmpdir(), 'jointwise-verify-'));
  const library = new RunLibrary(join(base, 'made'), { nowMs: () => START_MS, report: () => {} });
  const { id, run } = await library.create({ name: 'trip', source: 'file', plan: '{"plan":1}' });
  for (let n = 1; n <= FRAMES; n++) void run.record(Buffer.from(frame(n)), START_MS + n * 1000);
  for (let n = 0; n < 20; n++) {
    await run.journal(
      { at: '2031-03-04T00:00:00Z', by: 'A', action: 'note', text: `note ${n}` },
      START_MS + 900_000 + n,
    );
  }
  await library.end();
  whole = join(base, 'made', 'runs', id);
  data = join(base, 'data');
});
afterAll(() => rmSync(base, { recursive: true, force: true }));

/** A fresh copy of the run to be spoiled. */
function copy(): string {
  const folder = join(data, 'runs', ID);
  rmSync(folder, { recursive: true, force: true });
  cpSync(whole, folder, { recursive: true });
  return folder;
}

const verify = (folder: string): RunCheck => verifyRun(nodeDisk, folder);

/** Whether all that is read of a spoiled run is what was written. */
function onlyTruth(): boolean {
  const run = readRun(data, ID);
  try {
    let last = 0;
    for (const item of run.read()) {
      if (item.kind !== 'record' || item.record.kind !== 'bytes') continue;
      const n = (item.record.arrivalMs - START_MS) / 1000;
      if (n <= last || Buffer.from(item.record.bytes).toString() !== frame(n)) return false;
      last = n;
    }
    return run.journal().every(({ entry }) => /^note \d+$/.test((JSON.parse(entry) as { text: string }).text));
  } finally {
    run.close();
  }
}

test('a run that is whole is said to be', () => {
  const check = verify(whole);
  expect(check.problems).toEqual([]);
  expect(check).toMatchObject({ whole: true, sealed: true, journalRows: 20, plans: 1, indexPoints: 2, holes: [] });
  expect(check.lastNumber).toBe(check.records);
});

describe('named is', () => {
  test('a raw byte, with its record and its hole', () => {
    const folder = copy();
    const path = join(folder, 'raw-00001.log');
    const bytes = readFileSync(path);
    const at = bytes.indexOf('300.5');
    bytes[at]! ^= 4;
    writeFileSync(path, bytes);
    const check = verify(folder);
    expect(check.whole).toBe(false);
    expect(check.problems.join('\n')).toMatch(
      /raw-00001\.log, bytes \d+ to \d+: found the checksum of record 302 does not hold/,
    );
    expect(check.holes).toMatchObject([
      { afterNumber: 301, beforeNumber: 303, fromMs: START_MS + 299_000, toMs: START_MS + 301_000 },
    ]);
  });

  test('a row of the journal', () => {
    const folder = copy();
    const db = new Database(join(folder, 'run.db'));
    db.exec("DROP TRIGGER journal_stays; UPDATE journal SET entry = replace(entry, 'note 7', 'note 8')");
    db.close();
    expect(verify(folder).problems.join('\n')).toMatch(/journal row of record \d+: the checksum does not hold/);
    expect(onlyTruth()).toBe(true);
  });

  test('a row of the journal that is gone', () => {
    const folder = copy();
    const db = new Database(join(folder, 'run.db'));
    db.exec('DROP TRIGGER journal_keeps; DELETE FROM journal WHERE number = (SELECT max(number) FROM journal)');
    db.close();
    expect(verify(folder).problems.join('\n')).toMatch(/found no row of record \d+, expected what the log has/);
  });

  test('a row of the index', () => {
    const folder = copy();
    const db = new Database(join(folder, 'run.db'));
    db.exec('UPDATE point SET at = at + 1 WHERE number = 601');
    db.close();
    expect(verify(folder).problems.join('\n')).toContain('index of record 601: the checksum does not hold');
  });

  test('a plan', () => {
    const folder = copy();
    const db = new Database(join(folder, 'run.db'));
    db.exec(`UPDATE plan SET text = '{"plan":2}'`);
    db.close();
    expect(verify(folder).problems.join('\n')).toMatch(/plan of record 2: the checksum does not hold/);
  });

  test('a tail that is gone, by the head and by the index', () => {
    for (const also of [[], ['head', 'seal.json']]) {
      const folder = copy();
      const path = join(folder, 'raw-00001.log');
      truncateSync(path, readFileSync(path).indexOf('500.5') - 40);
      for (const name of also) rmSync(join(folder, name));
      expect(verify(folder).problems.join('\n')).toMatch(
        /the log ends with record 50[01], expected (72\d|601): its tail is lost/,
      );
    }
  });
});

describe('a backup', () => {
  test('of a run while it records is a prefix of it, and is restored with the same hash', async () => {
    const made = join(base, 'recording');
    const library = new RunLibrary(made, { nowMs: () => START_MS, report: () => {} });
    const { id, run } = await library.create({ name: 'long', source: 'x' });
    let going = true;
    let recorded = 0;
    const sender = (async () => {
      for (let n = 1; going; n++) {
        await run.record(Buffer.from(frame(n)), START_MS + n * 1000);
        recorded = n;
      }
    })();
    const copies = [];
    for (let n = 0; n < 3; n++) {
      const to = join(base, `backup-${n}`);
      const before = recorded;
      await expect.poll(() => recorded).toBeGreaterThan(before);
      copies.push({ to, backup: await backupRun(nodeDisk, join(made, 'runs', id), to, id) });
    }
    going = false;
    await sender;
    await library.end();
    const source = readRun(made, id);
    for (const [n, { to, backup }] of copies.entries()) {
      expect(backup.problems).toEqual([]);
      expect(Buffer.from(source.hashAt(backup.number)!).toString('hex')).toBe(backup.hash);
      const restored = await restoreRun(nodeDisk, to, join(base, 'restored', 'runs', `r${n}`));
      expect(restored).toMatchObject({ whole: true, hash: backup.hash, lastNumber: backup.number });
      const run = readRun(join(base, 'restored'), `r${n}`);
      expect(run.info().name).toBe('long');
      run.close();
    }
    source.close();
    expect(copies[2]!.backup.number).toBeGreaterThan(copies[0]!.backup.number);
  });

  test('goes nowhere where something is, and one that was changed is not restored', async () => {
    const to = join(base, 'once');
    await backupRun(nodeDisk, whole, to, 'x');
    await expect(backupRun(nodeDisk, whole, to, 'x')).rejects.toThrow(Fault);
    const path = join(to, 'raw-00001.log');
    const bytes = readFileSync(path);
    bytes[5000]! ^= 1;
    writeFileSync(path, bytes);
    const target = join(base, 'nowhere');
    await expect(restoreRun(nodeDisk, to, target)).rejects.toThrow(/expected what was backed up/);
    expect(readdirSync(target)).toEqual([]);
  });

  test('of a run that is damaged keeps what is whole, and says what is not', async () => {
    const folder = copy();
    const path = join(folder, 'raw-00001.log');
    const bytes = readFileSync(path);
    bytes[bytes.indexOf('300.5')]! ^= 4;
    writeFileSync(path, bytes);
    const to = join(base, 'damaged');
    const backup = await backupRun(nodeDisk, folder, to, ID);
    expect(backup.problems.join()).toContain('record 302');
    const restored = await restoreRun(nodeDisk, to, join(base, 'again'));
    expect(restored).toMatchObject({ whole: false, hash: backup.hash });
  });
});
