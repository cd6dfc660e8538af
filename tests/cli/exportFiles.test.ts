/** The built program: a run written out, put into one file, and opened in another installation. */
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { libraryWithDemo } from '../archive/archivedRun.ts';
import { run } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';
let base: string;
let data: string;
let id: string;
beforeAll(async () => {
  base = mkdtempSync(join(tmpdir(), 'jointwise-files-'));
  data = join(base, 'data');
  id = await libraryWithDemo(data);
}, 180_000);
afterAll(() => rmSync(base, { recursive: true, force: true }));

const out = (name: string): string => join(base, name);
const sum = (file: string): string => createHash('sha256').update(readFileSync(file)).digest('hex');

describe('export', () => {
  test('of a file and of a recorded run; the record is the one that analyse writes', async () => {
    const record = out('record.json');
    expect(await run(['export', id, '--data', data, '--as', 'record', '--out', record])).toEqual({
      code: 0,
      out: '',
      err: '',
    });
    const analysed = await run(['analyse', '--data', data, '--run', id]);
    expect(readFileSync(record, 'utf8')).toBe(analysed.out);
    const ofFile = out('of-file.json');
    expect(await run(['export', '--plan', PLAN, '--in', STREAM, '--as', 'record', '--out', ofFile])).toMatchObject({
      code: 0,
      err: '',
    });
    expect(readFileSync(ofFile, 'utf8')).toBe((await run(['analyse', '--plan', PLAN, '--in', STREAM])).out);
  }, 180_000);

  test('what is written is read as a stream again, and gives the same joints', async () => {
    const joints = async (...args: string[]): Promise<unknown> => {
      const { code, out, err } = await run(['analyse', '--plan', PLAN, ...args]);
      expect([code, err]).toEqual([0, '']);
      return (JSON.parse(out) as { joints: unknown }).joints;
    };
    const expected = await joints('--in', STREAM);
    for (const as of ['csv', 'las', 'witsml']) {
      const file = out(`again.${as}`);
      expect(await run(['export', '--plan', PLAN, '--in', STREAM, '--as', as, '--out', file])).toMatchObject({
        code: 0,
        err: '',
      });
      expect(await joints('--in', file)).toEqual(expected);
    }
  }, 300_000);

  test('joints and events in field units, by depth with a pass', async () => {
    const file = out('joints.csv');
    expect(
      await run(['export', '--run', id, '--data', data, '--as', 'joints.csv', '--units', 'field', '--out', file]),
    ).toMatchObject({ code: 0, err: '' });
    const rows = parse(readFileSync(file), { columns: true }) as Record<string, string>[];
    expect(rows.find(({ Joint }) => Joint === 'S1')).toMatchObject({
      Decision: 'accept',
      Reason: 'seen on the gauges',
    });
    expect(Object.keys(rows[0]!)).toContain('Top (ft)');
    const depth = out('depth.las');
    expect(
      await run(['export', id, '--data', data, '--as', 'las-depth', '--pass', '1', '--tool', 'upper', '--out', depth]),
    ).toMatchObject({ code: 0, err: '' });
    expect(readFileSync(depth, 'latin1')).toMatch(/^~VERSION/);
  }, 180_000);

  test.each<[string, readonly string[], RegExp]>([
    ['no kind', ['--out', 'x'], /^--as: found nothing, expected csv, las, /],
    ['another kind', ['--as', 'xls', '--out', 'x'], /^--as: found "xls", expected one of csv, /],
    ['no file', ['--as', 'csv'], /^--out: found nothing/],
    ['other units', ['--as', 'csv', '--units', 'ell', '--out', 'x'], /^--units: found "ell", expected metric or field/],
    [
      'a pass of no depth',
      ['--as', 'csv', '--pass', '1', '--out', 'x'],
      /^--pass: found it with --as csv, expected las-depth/,
    ],
    [
      'a tool that is not there',
      ['--as', 'las-depth', '--tool', 'none', '--out', 'x'],
      /^tool: found "none", expected one of /,
    ],
    ['a plan beside a run', ['--as', 'csv', '--plan', PLAN, '--out', 'x'], /^--plan: found it with a run/],
    ['two runs', ['--as', 'csv', '--run', 'a', '--out', 'x'], /^found "a" and ".*", expected one run/],
  ])(
    '%s is refused, and nothing is written',
    async (_, more, line) => {
      const before = readdirSync(base);
      const { code, err } = await run([
        'export',
        id,
        '--data',
        data,
        ...more.map((word) => (word === 'x' ? out('x') : word)),
      ]);
      expect([code, err.trim().split('\n').length]).toEqual([2, 1]);
      expect(err).toMatch(line);
      expect(readdirSync(base)).toEqual(before);
    },
    30_000,
  );
});

test('archive, verify, unpack, verify, analyse; a changed archive is told by place', async () => {
  const file = out('run.zip');
  const archived = await run(['archive', '--data', data, '--run', id, '--out', file]);
  expect(archived).toMatchObject({
    code: 0,
    err: '',
    out: expect.stringMatching(/^run \S+: 6 files, \d+ records, chain [0-9a-f]{64}\n$/),
  });
  expect(await run(['verify', '--in', file])).toMatchObject({
    code: 0,
    err: '',
    out: expect.stringMatching(/: whole\n/),
  });
  const other = out('other');
  const unpacked = await run(['unpack', '--in', file, '--data', other]);
  expect(unpacked).toMatchObject({ code: 0, err: '' });
  expect(await run(['verify', id, '--data', other])).toMatchObject({ code: 0, err: '' });
  const records = await Promise.all([data, other].map((folder) => run(['analyse', '--data', folder, '--run', id])));
  expect(records[1]!.out).toBe(records[0]!.out);
  expect(await run(['unpack', '--in', file, '--data', other])).toMatchObject({
    code: 1,
    err: expect.stringContaining('found a run of this id'),
  });

  const bytes = readFileSync(file);
  bytes[Math.floor(bytes.length / 3)]! ^= 1;
  const spoilt = out('spoilt.zip');
  writeFileSync(spoilt, bytes);
  const before = sum(spoilt);
  const verified = await run(['verify', '--in', spoilt]);
  expect(verified.code).not.toBe(0);
  expect(verified.err).toMatch(/found/);
  const third = out('third');
  expect((await run(['unpack', '--in', spoilt, '--data', third])).code).not.toBe(0);
  expect(existsSync(join(third, 'runs', id))).toBe(false);
  expect(sum(spoilt)).toBe(before);
}, 300_000);
