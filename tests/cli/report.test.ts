/** `report` by the built program: from a stream, from a kept run, against another plan; and what it refuses. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readPdf } from '../support/pdfText.ts';
import { run } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const SLOW = { timeout: 120_000 };

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-report-'));
  // As much of the demo as two joints need, so that the program is quick.
  writeFileSync(at('short.wits'), readFileSync('replay-data/demo.wits').subarray(0, 400_000));
  const depth = { at: '2031-05-12T04:10:00Z', by: 'night shift', action: 'set depth', tool: 'upper', depth: 2440 };
  writeFileSync(
    at('journal.jsonl'),
    `${JSON.stringify(depth)}\n${JSON.stringify({ at: '2031-05-12T04:20:00Z', by: 'night shift', action: 'reject', joint: 'Z1', reason: 'to be rolled again' })}\n`,
  );
  const plan = JSON.parse(readFileSync(PLAN, 'utf8'));
  plan.recipes.screen.rpm.min = 80;
  writeFileSync(at('other.json'), JSON.stringify(plan));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const at = (name: string): string => join(folder, name);
const saidBy = (file: string): string =>
  readPdf(readFileSync(file))
    .pages.flatMap(({ texts }) => texts)
    .join('\n');

test(
  'a stream and its journal, against another plan, in other units; the hash is that of the record as analyse writes it',
  SLOW,
  async () => {
    const stream = ['--plan', PLAN, '--in', at('short.wits'), '--journal', at('journal.jsonl')];
    const made = await run([
      'report',
      ...stream,
      '--against',
      at('other.json'),
      '--units',
      'field',
      '--out',
      at('a.pdf'),
    ]);
    expect(made).toMatchObject({ code: 0, out: '', err: '' });
    const said = saidBy(at('a.pdf'));
    expect(said).toContain('to be rolled again');
    expect(said).toContain('The run under other.json');
    expect(said).toContain('psi');
    const analysed = await run(['analyse', ...stream, '--out', at('record.json')]);
    expect(analysed.code).toBe(0);
    const { createHash } = await import('node:crypto');
    expect(said).toContain(
      createHash('sha256')
        .update(readFileSync(at('record.json')))
        .digest('hex'),
    );
    expect(readdirSync(folder).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  },
);

describe('a kept run', () => {
  beforeAll(async () => {
    // Two chunks of bytes: where one is damaged the other still says something.
    const kept = ['--plan', PLAN, '--in', 'replay-data/demo.wits', '--journal', at('journal.jsonl'), '--name', 'kept'];
    expect((await run(['import', '--data', at('data'), ...kept])).code).toBe(0);
  }, 60_000);

  test('is verified on the way', SLOW, async () => {
    const kept = ['--data', at('data'), '--run', 'kept'];
    const made = await run(['report', ...kept, '--out', at('b.pdf'), '--link', 'http://rig:8000/x#y']);
    expect(made).toMatchObject({ code: 0, err: '' });
    const said = saidBy(at('b.pdf'));
    expect(said).toContain('WHOLE: every record is the one that was written');
    expect(said).toContain('to be rolled again');
    // Its links lead to the run itself, whatever is live there.
    const [id] = readdirSync(join(at('data'), 'runs'));
    const links = readPdf(readFileSync(at('b.pdf'))).pages.flatMap((page) => page.links);
    const lead = links.filter((link) => link.startsWith('http'));
    expect(lead.length).toBeGreaterThan(10);
    for (const link of lead) expect(link).toMatch(new RegExp(`^http://rig:8000/x#run=${id}&at=`));
  });

  const ownFolder = (): string => {
    const runs = join(at('data'), 'runs');
    return join(runs, readdirSync(runs)[0]!);
  };

  test('a raw byte, a limit and a correction that were changed behind our back are each told of', SLOW, async () => {
    const file = join(ownFolder(), 'raw-00001.log');
    const bytes = readFileSync(file);
    const place = bytes.lastIndexOf('\r\n0108') + 6;
    expect(place).toBeGreaterThan(6);
    bytes[place] = bytes[place]! ^ 1;
    writeFileSync(file, bytes);
    const db = new Database(join(ownFolder(), 'run.db'));
    db.exec('DROP TRIGGER journal_stays');
    db.prepare(`UPDATE plan SET text = replace(text, '16000', '12345')`).run();
    db.prepare(`UPDATE journal SET entry = replace(entry, '2440', '2441')`).run();
    db.close();
    const made = await run(['report', '--data', at('data'), '--run', 'kept', '--out', at('c.pdf')]);
    expect(made).toMatchObject({ code: 0, err: '' });
    const said = saidBy(at('c.pdf'));
    expect(readPdf(readFileSync(at('c.pdf'))).pages[0]!.texts.join('\n')).toContain('NOT WHOLE');
    expect(said).toMatch(/raw-00001\.log/);
    expect(said).toMatch(/run\.db, .*journal/);
    expect(said).toMatch(/run\.db, .*plan/);
    // Not what was slipped in is counted, but what the log has.
    expect(said).toContain('16\u202f000');
    expect(said).not.toContain('12\u202f345');
  });
});

test.each([
  [['--in', 'x', '--plan', PLAN], '--out: found nothing'],
  [['--out', 'x.pdf', '--plan', PLAN], '--in: found nothing'],
  [['--out', 'x.pdf', '--units', 'cubits', '--plan', PLAN, '--in', 'x'], '--units: found "cubits"'],
  [['--out', 'x.pdf', '--link', 'javascript:alert(1)', '--plan', PLAN, '--in', 'x'], '--link: found "javascript'],
  [
    ['--out', 'x.pdf', '--against', 'a', '--against-run', 'b', '--plan', PLAN, '--in', 'x'],
    '--against-run: found it with --against',
  ],
  [['--out', 'x.pdf', '--plan', PLAN, '--in', '/nowhere/x.wits'], '/nowhere/x.wits'],
  [['--out', 'x.pdf', '--plan', '/nowhere/p.json', '--in', 'replay-data/demo.wits'], '/nowhere/p.json'],
])('%j is refused in one line, and nothing is written', async (args, words) => {
  const { code, out, err } = await run(['report', ...args.map((arg) => (arg === 'x.pdf' ? at('x.pdf') : arg))]);
  expect({ code, out }).toEqual({ code: 2, out: '' });
  expect(err.trim().split('\n')).toHaveLength(1);
  expect(err).toContain(words);
  expect(readdirSync(folder)).not.toContain('x.pdf');
});
