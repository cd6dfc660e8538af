/**
 * Something of a kept run is changed behind the program's back: `verify` names the place, the report prints what it named, and
 * what was slipped in is not counted.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readZip, writeZip } from '../archive/archivedRun.ts';
import { readPdf } from '../support/pdfText.ts';
import { run } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const SLOW = { timeout: 120_000 };
const JOURNAL = [
  { at: '2031-05-12T04:10:00Z', by: 'night shift', action: 'set depth', tool: 'upper', depth: 2415.25 },
  { at: '2031-05-12T04:20:00Z', by: 'night shift', action: 'accept', joint: 'S1', reason: 'seen on the gauges' },
];

let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-behind-'));
  writeFileSync(at('journal.jsonl'), JOURNAL.map((entry) => `${JSON.stringify(entry)}\n`).join(''));
  const kept = ['--plan', PLAN, '--in', 'replay-data/demo.wits', '--journal', at('journal.jsonl'), '--name', 'kept'];
  expect((await run(['import', '--data', at('data'), ...kept])).code).toBe(0);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const at = (name: string): string => join(folder, name);
const spaced = (text: string): string => text.replace(/\s+/g, ' ');

/** A data folder of its own, and the folder of its run. */
function copied(): { data: string; own: string } {
  const data = mkdtempSync(at('copy-'));
  cpSync(at('data'), data, { recursive: true });
  const runs = join(data, 'runs');
  return { data, own: join(runs, readdirSync(runs)[0]!) };
}

/** Whoever changes a row takes away what stands in the way. @returns how many rows that was */
function changeRow(own: string, table: 'plan' | 'journal', column: string, from: string, to: string): number {
  const db = new Database(join(own, 'run.db'));
  try {
    db.exec(`DROP TRIGGER IF EXISTS ${table}_stays`);
    const like = `%${from}%`;
    const changed = db.prepare(`UPDATE ${table} SET ${column} = replace(${column}, ?, ?) WHERE ${column} LIKE ?`);
    return changed.run(from, to, like).changes;
  } finally {
    db.close();
  }
}

function changeByte(own: string): number {
  const file = join(own, 'raw-00001.log');
  const bytes = readFileSync(file);
  const place = bytes.lastIndexOf('\r\n0108') + 6;
  if (place <= 6) return 0;
  bytes[place] = bytes[place]! ^ 1;
  writeFileSync(file, bytes);
  return 1;
}

async function printed(data: string): Promise<{ cover: string; verification: string; all: string }> {
  const out = join(data, 'report.pdf');
  expect(await run(['report', '--data', data, '--run', 'kept', '--out', out])).toMatchObject({ code: 0, err: '' });
  const pages = readPdf(readFileSync(out)).pages.map(({ texts }) => spaced(texts.join(' ')));
  const from = pages.findIndex((text, i) => i > 0 && text.includes('What does not check'));
  return { cover: pages[0]!, verification: pages.slice(from).join(' '), all: pages.join(' ') };
}

test('as it was recorded it is whole, and its report says so', SLOW, async () => {
  const { data } = copied();
  expect((await run(['verify', 'kept', '--data', data])).code).toBe(0);
  const { cover, verification } = await printed(data);
  expect(cover).toContain('Kept run whole');
  expect(verification).toContain('WHOLE: every record is the one that was written');
});

const joint = JSON.parse(readFileSync(PLAN, 'utf8')).liner.joints.find(({ name }: { name: string }) => name === 'S3');

describe.each<[what: string, change: (own: string) => number, place: RegExp, slippedIn: string | null]>([
  [
    'how much of a joint is to be expanded',
    (own) => changeRow(own, 'plan', 'text', `"expandTo": ${joint.expandTo}`, '"expandTo": 7.77'),
    /run\.db, plan of record \d+, liner\.joints\[\d+\] \("S3"\)\.expandTo: .*7\.77/,
    '7.77',
  ],
  [
    'a limit',
    (own) => changeRow(own, 'plan', 'text', '16000', '12345'),
    /run\.db, plan of record \d+, recipes\.isolation\.pressure\.min: .*12345/,
    '12\u202f345',
  ],
  [
    'a correction of the depth',
    (own) => changeRow(own, 'journal', 'entry', '2415.25', '2416.5'),
    /run\.db, journal row of record \d+, depth: .*2416\.5/,
    '2416.50',
  ],
  [
    'who accepted a joint, and whether',
    (own) => changeRow(own, 'journal', 'entry', '"accept"', '"reject"'),
    /run\.db, journal row of record \d+, action: .*reject/,
    null,
  ],
  ['a raw byte', changeByte, /raw-00001\.log/, null],
])('%s', (_what, change, place, slippedIn) => {
  test('is named by verify, printed in the report, and not counted', SLOW, async () => {
    const { data, own } = copied();
    expect(change(own)).toBeGreaterThan(0);
    const found = await run(['verify', 'kept', '--data', data]);
    expect(found.code).not.toBe(0);
    const named = found.out.split('\n').find((line) => line.startsWith('not whole: ') && place.test(line));
    expect(named, found.out).toBeDefined();
    const { cover, verification, all } = await printed(data);
    expect(cover).toContain('NOT WHOLE');
    expect(verification).toContain('NOT WHOLE: it is not what was recorded');
    // Long lines are wrapped, and a word that is longer than its cell is cut into several.
    const line = named!.slice('not whole: '.length).replace(/\s+/g, '');
    expect(verification.replace(/\s+/g, '')).toContain(line);
    if (slippedIn !== null) expect(all.replace(verification, '')).not.toContain(slippedIn);
  });
});

describe('an archive', () => {
  let archive: string;
  beforeAll(async () => {
    archive = at('kept.zip');
    expect((await run(['archive', 'kept', '--data', at('data'), '--out', archive])).code).toBe(0);
  }, 120_000);

  test('holds the report that the run prints', SLOW, async () => {
    expect((await run(['verify', '--in', archive])).code).toBe(0);
    const report = (await readZip(archive)).find(({ name }) => name === 'report.pdf')!;
    const said = readPdf(report.bytes).pages.map(({ texts }) => spaced(texts.join(' ')));
    expect(said.join(' ')).toContain('WHOLE: every record is the one that was written');
    expect(said.join(' ')).toContain('seen on the gauges');
  });

  test.each([
    [
      'record.json',
      '"decision": {\n        "action": "accept"',
      '"decision": {\n        "action": "reject"',
      /record\.json.*reject/,
    ],
    ['plans/001.json', '16000', '12345', /plans\/001\.json.*12345/],
    ['journal.jsonl', '2415.25', '2416.50', /journal\.jsonl.*2416\.5/],
    ['report.pdf', '%PDF-1.7', '%PDF-1.6', /report\.pdf: found other content than was archived/],
  ])(
    'of which %s was changed is refused, by its place, and nothing of it is unpacked',
    SLOW,
    async (file, from, to, place) => {
      const entries = (await readZip(archive)).map((entry) => {
        if (entry.name !== file) return entry;
        const text = entry.bytes.toString('latin1');
        expect(text).toContain(from);
        return { ...entry, bytes: Buffer.from(text.replace(from, to), 'latin1') };
      });
      const changed = await writeZip(at(`changed-${file.replace(/\W/g, '-')}.zip`), entries);
      const found = await run(['verify', '--in', changed]);
      expect(found.code).not.toBe(0);
      expect(found.out).toMatch(place);
      const data = mkdtempSync(at('into-'));
      const refused = await run(['unpack', '--in', changed, '--data', data]);
      expect(refused.code).not.toBe(0);
      expect(refused.err).toMatch(place);
      expect((await run(['runs', '--data', data])).out).not.toContain('kept');
    },
  );
});
