import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { lockDataFolder } from '../../server/keep/dataLock.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunDb } from '../../server/keep/runDb.ts';
import { RunLibrary, readRun } from '../../server/keep/runLibrary.ts';
import type { RunWriter } from '../../server/keep/runWriter.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';

const START_MS = Date.UTC(2031, 2, 4);
let data: string;
let reports: string[];
let nowMs: number;
const libraries: RunLibrary[] = [];

beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'jointwise-runs-'));
  reports = [];
  nowMs = START_MS;
});
afterEach(async () => {
  for (const library of libraries.splice(0)) await library.end();
  rmSync(data, { recursive: true, force: true });
});

function library(): RunLibrary {
  const made = new RunLibrary(data, { nowMs: () => nowMs, report: (line) => void reports.push(line) });
  libraries.push(made);
  return made;
}

const frame = (n: number): Buffer => Buffer.from(`&&\r\n0108${n}.5\r\n!!\r\n`);
const note = (text: string): JournalEntry => ({ at: '2031-03-04T00:00:00Z', by: 'A. Person', action: 'note', text });

async function record(run: RunWriter, from: number, count: number): Promise<void> {
  for (let n = from; n < from + count; n++) await run.record(frame(n), START_MS + n * 1000);
}

function frames(id: string): string[] {
  const run = readRun(data, id);
  try {
    const out: string[] = [];
    for (const item of run.read()) {
      if (item.kind === 'record' && item.record.kind === 'bytes') out.push(Buffer.from(item.record.bytes).toString());
    }
    return out;
  } finally {
    run.close();
  }
}

const faultOf = (call: () => unknown): string => {
  try {
    call();
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
  return '';
};

describe('a run', () => {
  test('is created, recorded, named, closed, opened again and read', async () => {
    const lib = library();
    const { id, run } = await lib.create({ name: ' first trip ', source: 'tcp 4000', plan: '{"plan":1}' });
    await record(run, 1, 1300);
    await run.journal(note('look'), START_MS + 1_300_500);
    await run.plan('{"plan":2}', START_MS + 1_301_000);
    expect(lib.list()).toMatchObject([{ id, name: 'first trip', state: 'recording', source: 'tcp 4000' }]);
    await lib.close(id);
    expect(lib.list()).toMatchObject([{ id, state: 'closed', problems: [] }]);
    await lib.rename(id, 'second name');
    const again = await lib.reopen(id);
    await record(again, 1301, 5);
    await lib.close(id);

    const read = readRun(data, id);
    expect(read.info()).toMatchObject({ id, name: 'second name', source: 'tcp 4000', createdMs: START_MS });
    expect(read.plans().map(({ text }) => text)).toEqual(['{"plan":1}', '{"plan":2}']);
    expect(read.journal().map(({ who, action, entry }) => ({ who, action, entry: JSON.parse(entry) }))).toEqual([
      { who: 'A. Person', action: 'note', entry: note('look') },
    ]);
    // Seeking: the place is at most one step of the index before, and the first record there is at or before the instant.
    const place = read.placeAtMs(START_MS + 1_000_000)!;
    const first = read.read(place).next().value;
    expect(first).toMatchObject({ kind: 'record', record: { number: place.number } });
    expect(place.number).toBeGreaterThan(1000 - 600);
    read.close();
    expect(frames(id)).toEqual(Array.from({ length: 1305 }, (_, i) => frame(i + 1).toString()));
    expect(verifyRun(nodeDisk, join(data, 'runs', id))).toMatchObject({
      whole: true,
      sealed: true,
      journalRows: 1,
      plans: 2,
    });
    expect(reports).toEqual([]);
  });

  test('can be read and verified while it is recorded', async () => {
    const { id, run } = await library().create({ name: 'a', source: 'b' });
    await record(run, 1, 50);
    expect(frames(id)).toHaveLength(50);
    expect(verifyRun(nodeDisk, join(data, 'runs', id))).toMatchObject({ whole: true, sealed: false, lastNumber: 51 });
  });

  test('whose index is gone, or is no database, has it rebuilt from the raw log', async () => {
    const lib = library();
    const { id, run } = await lib.create({ name: 'kept', source: 'b', plan: '{}' });
    await record(run, 1, 700);
    await run.journal(note('one'), START_MS + 800_000);
    await lib.close(id);
    const path = join(data, 'runs', id, 'run.db');
    for (const content of [null, 'no database at all', readFileSync(path).subarray(0, 5000)]) {
      if (content === null) rmSync(path);
      else writeFileSync(path, content);
      const read = readRun(data, id);
      expect(read.info().name).toBe('kept');
      expect(read.problems).not.toEqual([]);
      read.close();
      await lib.reopen(id);
      await lib.close(id);
      const whole = readRun(data, id);
      expect(whole.problems).toEqual([]);
      expect(whole.journal()).toHaveLength(1);
      expect(whole.placeAtMs(START_MS + 650_000)?.number).toBe(601);
      whole.close();
      expect(verifyRun(nodeDisk, join(data, 'runs', id)).whole).toBe(true);
    }
  });

  test.each(['..', '../x', 'a/b', '', 'A', `${'a'.repeat(65)}`, 'x\0', '.hidden'])('is not asked for as %j', (id) => {
    expect(faultOf(() => readRun(data, id))).toContain('expected letters, digits and dashes');
  });

  test('that is not there is one line', () => {
    expect(faultOf(() => readRun(data, 'none'))).toContain('expected a run');
  });
});

describe('two writers', () => {
  test('the second refuses at once and says who holds the folder', () => {
    library();
    const line = faultOf(() => library());
    const who = `process ${process.pid} on ${hostname()} since 2031-03-04T00:00:00.000Z`;
    expect(line).toBe(`${data}: found it held by ${who}, expected no other writer`);
  });

  test('in another process too', () => {
    library();
    const text = `
      const Database = require('better-sqlite3');
      const db = new Database(process.argv[1], { timeout: 0 });
      try { db.exec('BEGIN EXCLUSIVE'); console.log('held'); } catch (error) { console.log(error.code); }`;
    const { stdout } = spawnSync(process.execPath, ['-e', text, join(data, 'lock')], { encoding: 'utf8' });
    expect(stdout.trim()).toMatch(/^SQLITE_BUSY/);
  });

  test('the folder of one that was killed is taken over, and that is said', () => {
    const dead = spawnSync(process.execPath, ['-e', '']).pid;
    writeFileSync(
      join(data, 'holder.json'),
      JSON.stringify({ pid: dead, host: hostname(), since: '2031-03-03T00:00:00Z' }),
    );
    library();
    expect(reports.join()).toContain(`taken over from process ${dead}`);
  });

  test('on another machine is not taken over', () => {
    writeFileSync(join(data, 'holder.json'), JSON.stringify({ pid: 1, host: 'rig-2', since: '2031-03-03T00:00:00Z' }));
    const line = faultOf(() => library());
    expect(line).toContain('held by process 1 on rig-2 since 2031-03-03T00:00:00Z');
    expect(line).toContain('holder.json');
  });

  test('one after the other is fine', () => {
    for (let n = 0; n < 3; n++) {
      const lock = lockDataFolder(data, { nowMs: () => nowMs });
      expect(lock.tookOverFrom).toBeNull();
      lock.release();
    }
  });
});

describe('a run that a later version wrote', () => {
  test('is refused in one line, listed with that line, and not changed; a bit that turned is no later version', async () => {
    const before = library();
    const { id, run } = await before.create({ name: 'later', source: 'rig' });
    await record(run, 0, 5);
    await before.close(id);
    const other = await before.create({ name: 'ours', source: 'rig' });
    await before.close(other.id);
    const folder = join(data, 'runs', id);
    const log = join(folder, 'raw-00001.log');
    const ours = readFileSync(log);
    const later = Buffer.from(ours);
    later.write('JWLOG/2\n', 'latin1');
    writeFileSync(log, later);
    // Without its checksum it is damage: the key of the run is then in no header, and nothing is believed.
    expect(verifyRun(nodeDisk, folder).whole).toBe(false);
    later.writeUInt32LE(crc32(later.subarray(0, 92)), 92);
    writeFileSync(log, later);
    const all = () =>
      Object.fromEntries(readdirSync(folder).map((name) => [name, readFileSync(join(folder, name), 'hex')]));
    const files = all();
    const says = /raw-00001\.log: found format 2 of the log, expected 1: a later version of the program wrote it$/;
    expect(faultOf(() => readRun(data, id))).toMatch(says);
    expect(faultOf(() => verifyRun(nodeDisk, folder))).toMatch(says);
    await expect(before.reopen(id)).rejects.toThrow(says);
    const listed = before.list();
    expect(listed.map(({ name, problems }) => [name, problems.length])).toEqual([
      ['ours', 0],
      [id, 1],
    ]);
    expect(listed[1]!.problems[0]).toMatch(says);
    expect(all()).toEqual(files);
  });
});

describe('the index', () => {
  test('is written through to the disk on every open', () => {
    const path = join(data, 'x.db');
    for (let n = 0; n < 3; n++) {
      const db = new RunDb(path, 'write');
      expect(db.synchronous).toBe(2);
      db.setMeta('name', String(n));
      // As a crash leaves it: in the mode in which a second open forgets.
      const left = new Database(path);
      expect(left.pragma('journal_mode', { simple: true })).toBe('wal');
      left.close();
      db.close();
    }
  });

  test('takes no change and no removal of a row of the journal', () => {
    const path = join(data, 'x.db');
    const db = new RunDb(path, 'write');
    db.addJournal({ number: 3, arrivalMs: 1, who: 'A', stated: 'B', action: 'note', entry: '{}' });
    const other = new Database(path);
    expect(() => other.exec("UPDATE journal SET entry = 'x'")).toThrow('append only');
    expect(() => other.exec('DELETE FROM journal')).toThrow('append only');
    other.close();
    db.close();
  });
});
