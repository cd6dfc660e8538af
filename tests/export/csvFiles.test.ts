/** CSV files as others read them: by csv-parse, RFC 4180. */
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { CHANNELS } from '../../src/channels.ts';
import { csvRow, textCell } from '../../src/export/csvRow.ts';
import type { ExportInput } from '../../src/export/exportInput.ts';
import { inertText, plainText } from '../../src/export/inertText.ts';
import { samplesCsv } from '../../src/export/samplesCsv.ts';
import { eventsCsv, jointsCsv } from '../../src/export/tableCsv.ts';
import { timeCsv } from '../../src/export/timeCsv.ts';
import { demoCourse, type ReadCourse } from '../support/demoCourse.ts';
import { exportInput, textOf } from './exportedRun.ts';

/** Strict: every row as long as the header, CR LF alone. */
const rowsOf = (text: string): string[][] =>
  parse(text, { record_delimiter: '\r\n', relax_column_count: false, relax_quotes: false }) as string[][];
const objectsOf = (text: string): Record<string, string>[] => {
  const [header, ...rows] = rowsOf(text);
  return rows.map((row) => Object.fromEntries(row.map((cell, i) => [header![i]!, plainText(cell)])));
};

let demo: ReadCourse;
let worked: ExportInput;
beforeAll(async () => {
  demo = await demoCourse();
  worked = exportInput(demo.course, demo.source, 'metric');
});
const demoIn = (units: 'metric' | 'field'): ExportInput => ({ ...worked, units });

/** A spreadsheet runs a cell that begins so (OWASP ASVS 5.0, 1.2.10). */
const RUNS = /^[=+\-@\t\r]/;

describe('cells', () => {
  const TEXTS = [
    '=1+1',
    '+1',
    '-1',
    '@SUM(A1)',
    '\t=1',
    '\r=1',
    "'=1",
    "'",
    "''",
    '',
    'S1',
    '=cmd|"/c calc"!A1',
    '"',
    'a,b',
    'a;=1',
  ];

  test.each(TEXTS)('%j is inert, and comes back', (text) => {
    const [[first, second]] = rowsOf(csvRow([textCell(text), 'x'])) as [[string, string]];
    expect(first).not.toMatch(RUNS);
    expect(plainText(first)).toBe(text);
    expect(second).toBe('x');
  });

  test('any text is inert and comes back, whatever stands beside it', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary' }), { minLength: 2, maxLength: 5 }), (texts) => {
        const [row] = rowsOf(csvRow(texts.map(textCell)));
        for (const cell of row!) expect(cell).not.toMatch(RUNS);
        expect(row!.map(plainText)).toEqual(texts);
      }),
      { numRuns: 50 },
    );
  });

  test('what is inert already is left as it is', () => {
    expect(inertText('S1')).toBe('S1');
    expect(inertText('２＝１')).toBe('２＝１');
    expect(inertText('＝１')).toBe("'＝１");
  });
});

describe('samples', () => {
  test.each(['metric', 'field'] as const)('in %s units: csv-parse reads as many, with units and instants', (units) => {
    const rows = objectsOf(textOf(samplesCsv(demoIn(units))));
    expect(rows.length).toBe(demo.samples.length);
    const depth = units === 'metric' ? 'End depth (m)' : 'End depth (ft)';
    rows.forEach((row, i) => {
      if (Date.parse(row.Time!) !== demo.samples[i]!.sourceMs) expect(row.Time).toBe(demo.samples[i]!.sourceMs);
      const metres = Number(row[depth]) * (units === 'metric' ? 1 : 0.3048);
      if (row[depth] !== '' && Math.abs(metres - demo.samples[i]!.bitDepth) > 1e-9) {
        expect(metres).toBe(demo.samples[i]!.bitDepth);
      }
    });
    expect(rows[0]!.Time).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}(Z|[+-]\d\d:\d\d)$/);
    expect(rows.some((row) => row.Phase === 'expanding screen' && row.Joint !== '')).toBe(true);
  });

  test('names of columns are those of the channels, and no worked-out column is taken for a channel', () => {
    const [header] = rowsOf(textOf(samplesCsv(demoIn('metric'))));
    expect(header!.slice(0, 2)).toEqual(['Time', `${CHANNELS.bitDepth.label} (m)`]);
    expect(header).toContain('Contact depth 1, upper (m)');
  });
});

const HOSTILE = ['=HYPERLINK("http://x","y")', '+1', '-S1', '@S1', 'S1,"b"\r\nS2', '<script>alert(1)</script>'];

test('joints and events: as the record has them, whatever their names', () => {
  const input = demoIn('metric');
  const joints = input.record.joints.map((joint, i) => ({ ...joint, name: HOSTILE[i % HOSTILE.length]! }));
  const events = input.record.events.map((event, i) => ({ ...event, detail: HOSTILE[i % HOSTILE.length]! }));
  const hostile = { ...input, record: { ...input.record, joints, events } };
  const readJoints = objectsOf(textOf(jointsCsv(hostile)));
  expect(readJoints.map(({ Joint }) => Joint)).toEqual(joints.map(({ name }) => name));
  readJoints.forEach((row, i) => {
    const { coverage, verdict, pressure, startedAt } = joints[i]!;
    expect(Number(row.Coverage)).toBe(coverage);
    expect(row.Verdict).toBe(verdict);
    expect(row['Pressure, mean (kPa)']).toBe(pressure === null ? '' : String(pressure.mean));
    expect(row.Started === '' ? null : new Date(row.Started!).toISOString()).toBe(startedAt);
  });
  const readEvents = objectsOf(textOf(eventsCsv(hostile)));
  expect(readEvents.map(({ Event, Detail }) => [Event, Detail])).toEqual(
    events.map(({ kind, detail }) => [kind, detail]),
  );
});

test('a record in other units: lengths and pressures are converted, counts are not', () => {
  const input = demoIn('metric');
  const metric = objectsOf(textOf(jointsCsv(input)));
  const field = objectsOf(textOf(jointsCsv({ ...input, units: 'field' })));
  metric.forEach((row, i) => {
    expect(Number(field[i]!['Top (ft)']) * 0.3048).toBeCloseTo(Number(row['Top (m)']), 3);
    expect(field[i]!.Coverage).toBe(row.Coverage);
  });
});

test('a negative number stays a number', () => {
  const samples = { ...demo.course.samples, channels: [...demo.course.samples.channels] };
  samples.channels[2] = Float64Array.from(samples.sourceMs, () => -2.5);
  const [row] = objectsOf(textOf(samplesCsv(exportInput({ ...demo.course, samples }, demo.source, 'metric'))));
  expect(row!['Block position (m)']).toBe('-2.5');
});

test('the time sheet: every stretch of every day in order, causes as they were given, to the ms', () => {
  const [from, to] = ['2031-05-12T04:42:50.000Z', '2031-05-12T04:43:20.500Z'];
  const code = { at: to, by: '=cmd', action: 'time code', from, to, code: 'TOOL', reason: HOSTILE[0]! } as const;
  const input = exportInput({ ...demo.course, entries: [code] }, demo.source, 'metric');
  const rows = objectsOf(textOf(timeCsv(input)));
  let at = Date.parse(input.record.source.from);
  for (const row of rows) {
    expect(Date.parse(row.From!)).toBe(at);
    at += Math.round(1000 * Number(row.Seconds));
    expect(Date.parse(row.To!)).toBe(at);
  }
  expect(at).toBe(Date.parse(input.record.phases.at(-1)!.to));
  const lost = rows.filter(({ Lost }) => Lost === 'yes');
  expect(lost.reduce((sum, { Seconds }) => sum + Number(Seconds), 0)).toBeCloseTo(30.5, 9);
  for (const row of lost) expect([row.Code, row.Reason, row.By]).toEqual(['TOOL', HOSTILE[0], '=cmd']);
  expect(new Set(rows.map(({ Day }) => Day))).toEqual(new Set(['2031-05-11']));
});
