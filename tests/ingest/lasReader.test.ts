/** LAS 2.0 (Canadian Well Logging Society, update of January 2014) by time, and what the field makes of it. */
import * as fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { lasText } from '../support/tableWriters.ts';
import { cutAt, readTable } from './readTable.ts';
import { sampleRows } from './sampleRows.ts';

const NOON = Date.UTC(2031, 2, 4, 12);

interface Parts {
  readonly version?: string;
  readonly well?: string;
  readonly parameters?: string;
  readonly curves?: string;
  readonly rows?: string;
}

const VERSION = '~V\nVERS. 2.0 :\nWRAP. NO :\n';
const WELL = '~W\nSTRT.S 0 :\nSTOP.S 2 :\nSTEP.S 1 :\nNULL. -999.25 :\n';
const PARAMETERS = '~P\nSTART. 2031-03-04T12:00:00Z : FIRST INSTANT\n';
const CURVES = '~C\nTIME.S : TIME\nSPPA.KPA : PRESSURE\nHKLA.KN : HOOKLOAD\n';
const ROWS = '~A\n0 1 10\n1 2 20\n2 3 30\n';
const las = ({
  version = VERSION,
  well = WELL,
  parameters = PARAMETERS,
  curves = CURVES,
  rows = ROWS,
}: Parts): string => version + well + parameters + curves + rows;

const read = (parts: Parts, stream = {}) => readTable('las', las(parts), stream);
const pressures = (parts: Parts): number[] => read(parts).samples.map(({ standpipePressure }) => standpipePressure);
const seconds = (parts: Parts, stream = {}): number[] =>
  read(parts, stream).samples.map(({ sourceMs }) => (sourceMs - NOON) / 1000);

describe('the time', () => {
  const day = (data: string) => WELL.replace('NULL', `DATE. ${data} :\nNULL`);
  it.each([
    ['seconds from an instant in ~P', {}, [0, 1, 2]],
    ['minutes', { curves: CURVES.replace('TIME.S', 'TIME.MIN') }, [0, 60, 120]],
    [
      'hours with fractions',
      { curves: CURVES.replace('TIME.S', 'ETIM.H'), rows: '~A\n0 1 1\n0.001 2 2\n0.002 3 3\n' },
      [0, 3.6, 7.2],
    ],
    [
      'ETIM, as in the standard’s own example of a log by time',
      { curves: CURVES.replace('TIME.S', 'ETIM.S') },
      [0, 1, 2],
    ],
    ['a start in ~W', { parameters: '', well: `${WELL}TSTART. 2031-03-04 12:00:00 :\n` }, [0, 1, 2]],
    [
      'a day with a time of day, as the standard writes dates',
      { parameters: '', well: day('2031 03 04 12:00:00') },
      [0, 1, 2],
    ],
    ['a day in ~W, a time of day in ~P', { parameters: '~P\nSTIM. 12:00:00 :\n', well: day('2031 03 04') }, [0, 1, 2]],
    ['seconds since 1970', { parameters: '', rows: `~A\n${NOON / 1000} 1 1\n${NOON / 1000 + 1} 2 2\n` }, [0, 1]],
    [
      'curves DATE and TIME as WITS writes them',
      { parameters: '', curves: '~C\nDATE. :\nTIME. :\nSPPA.KPA :\n', rows: '~A\n310304 120000 1\n310304 120001 2\n' },
      [0, 1],
    ],
    [
      'curves DATE and TIME with marks, as the standard forbids',
      {
        parameters: '',
        curves: '~C\nDATE. :\nTIME.HHMMSS :\nSPPA.KPA :\n',
        rows: '~A\n2031-03-04 12:00:00 1\n2031-03-04 12:00:01 2\n',
      },
      [0, 1],
    ],
  ])('%s', (_, parts, expected) => expect(seconds(parts)).toEqual(expected));

  it('a day alone counts from its midnight, in the zone of the plan, and says so', () => {
    const parts = { parameters: '', well: day('2031 03 04') };
    expect(seconds(parts, { utcOffsetMs: 3_600_000 })).toEqual([-46_800, -46_799, -46_798]);
    expect(read(parts).notes).toContain(
      'the header names the day "2031 03 04" and no time of day: the index counts from its midnight',
    );
  });

  it.each([
    [
      'by depth',
      { curves: CURVES.replace('TIME.S', 'DEPT.M') },
      /^line 11: found "DEPT\.M" as the index, expected a log by time$/,
    ],
    [
      'no date',
      { parameters: '' },
      /^line 9: found "TIME\.S" and no date in the header, expected the instant that it counts from/,
    ],
    ['a date that could be two', { parameters: '', well: day('03/04/2031') }, /no date in the header/],
    [
      'no unit of time',
      { curves: CURVES.replace('TIME.S', 'TIME.KPA') },
      /found "TIME\.KPA" as the index, expected a time such as TIME\.S/,
    ],
  ])('%s: refused in one line', (_, parts, line) => {
    const { refusal, samples, counts } = read(parts);
    expect(refusal).toMatch(line);
    expect([samples.length, counts.rejected]).toEqual([0, { 'broken off': 1 }]);
  });
});

it('STRT and STOP that are not those of the rows are said', () => {
  expect(read({ rows: '~A\n0 1 10\n1 2 20\n' }).notes).toEqual([
    'STOP of the header is "2", the index of the last row "1"',
  ]);
  expect(read({ well: WELL.replace('0 :', '0.000 :') }).notes).toEqual([]);
});

describe('sections', () => {
  it.each([
    ['~V', { version: '' }, 'found no section ~V, expected ~V, ~W, ~C and ~A'],
    ['~W', { well: '' }, 'found no section ~W, expected ~V, ~W, ~C and ~A'],
    ['~C', { curves: '' }, 'found no section ~C, expected ~V, ~W, ~C and ~A'],
    ['~A', { rows: '' }, 'found no section ~A, expected ~V, ~W, ~C and ~A'],
    ['all but one', { version: '', well: '', curves: '' }, 'found no section ~V, ~W, ~C, expected ~V, ~W, ~C and ~A'],
    ['another version', { version: VERSION.replace('2.0', '3.0') }, 'line 1: found LAS version "3.0", expected 2.0'],
    ['one curve', { curves: '~C\nTIME.S :\n' }, 'line 11: found 1 curves in ~C, expected two or more'],
    ['a NULL of words', { well: WELL.replace('-999.25', 'none') }, 'line 4: found NULL "none", expected a number'],
    [
      'too many curves',
      { curves: `~C\n${'C.M :\n'.repeat(100_000)}` },
      'found more than 4096 curves or too long a header, expected fewer',
    ],
  ])('without, or with a wrong one: %s', (_, parts, line) => {
    const { refusal, samples } = read(parts);
    expect([refusal, samples]).toEqual([line, []]);
  });

  it('what stands behind the rows is counted', () => {
    const { samples, counts } = read({ rows: `${ROWS}~O\nremark\n~A\n3 4 40\n` });
    expect(samples.length).toBe(3);
    expect(counts.rejected).toEqual({ 'line after the data': 4 });
  });

  it('sections of other makers and remarks are passed over', () =>
    expect(pressures({ parameters: `${PARAMETERS}~TOPS\nA 1 2\n# remark\n` })).toEqual([1, 2, 3]));
});

describe('values', () => {
  it('NULL of the header, in any decimals; the nulls of the plan besides', () => {
    const rows = '~A\n0 -1.0 10\n1 -9999 -1.000\n2 3 30\n';
    const { samples } = read({ well: WELL.replace('-999.25', '-1'), rows });
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([Number.NaN, Number.NaN, 3]);
    expect(samples.map(({ hookload }) => hookload)).toEqual([10, Number.NaN, 30]);
  });
  it('decimal commas', () => expect(pressures({ rows: '~A\n0,0 1,5 10\n1,0 2,5 20\n' })).toEqual([1.5, 2.5]));
  it('tabs, blank lines, remarks between rows', () =>
    expect(pressures({ rows: '~A\n0\t1\t10\n\n# x\n 1   2  20 \n' })).toEqual([1, 2]));
  it('units of WITS items: F is feet beside M, KDN are 10 kN', () => {
    const curves = '~C\nTIME.S :\nDBTM.F :\nHKLA.KDN :\n';
    const [first] = read({ curves }).samples;
    // 1 ft is 0.3048 m exactly (NIST SP 811).
    expect([first!.bitDepth, first!.hookload]).toEqual([0.3048, 100]);
  });
  it('mnemonics that stand twice are numbered, the first is preferred', () => {
    const found = read({ curves: '~C\nTIME.S :\nSPPA.KPA :\nSPPA.PSI :\n' });
    expect(found.columns.map(({ name }) => name)).toEqual(['TIME', 'SPPA', 'SPPA:2']);
    expect(found.samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, 2, 3]);
  });
  it('rows that do not fit, and a curve that feeds nothing', () => {
    const { counts } = read({
      curves: CURVES.replace('HKLA', 'GAS'),
      rows: '~A\n0 1 10\n1 2\n2 3 30 4\nx 4 40\n3 y 5\n',
    });
    expect(counts.rejected).toEqual({ 'ragged row': 2, 'unreadable time': 1, 'unreadable value': 1 });
    expect(Object.fromEntries(counts.unknownCodes)).toEqual({ GAS: { count: 2, last: '5' } });
  });
  it('° of Latin-1 in a unit', () => {
    const text = las({ curves: CURVES.replace('HKLA.KN', 'MTIA.°C') });
    for (const encoding of ['latin1', 'utf8', 'utf16le'] as const) {
      const { samples } = readTable('las', [Buffer.from(text, encoding)]);
      expect(samples.map(({ temperatureIn }) => temperatureIn)).toEqual([10, 20, 30]);
    }
  });
});

describe('wrapped', () => {
  const version = VERSION.replace('NO', 'YES');
  const curves = '~C\nTIME.S :\nSPPA.KPA :\nHKLA.KN :\nDBTM.M :\nDMEA.M :\n';
  const wrapped = (rows: string) => read({ version, curves, rows: `~A\n${rows}` });
  it('the index alone on its line, a value a line or several', () => {
    const { samples } = wrapped('0\n1 10\n5 6\n1\n2\n20\n5\n6\n2\n3 30 5 6\n');
    expect(samples.map(({ standpipePressure, hookload }) => [standpipePressure, hookload])).toEqual([
      [1, 10],
      [2, 20],
      [3, 30],
    ]);
  });
  it('a row that lost a line costs itself, not those behind it', () => {
    const { samples, counts } = wrapped('0\n1 10\n5 6\n1\n2 20\n2\n3 30\n5 6\n3\n4 40\n5 6\n');
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, 3, 4]);
    expect(counts.rejected).toEqual({ 'ragged row': 1 });
  });
  it('cut short at the end', () => {
    const { samples, counts } = wrapped('0\n1 10\n5 6\n1\n2 20\n5 6\n2\n3 30\n');
    expect([samples.length, counts.rejected]).toEqual([2, { 'ragged row': 1 }]);
  });
});

test('chunks cut anywhere give the same samples, counts and notes', () => {
  fc.assert(
    fc.property(sampleRows, fc.boolean(), fc.array(fc.nat()), (rows, wrapped, places) => {
      const bytes = Buffer.from(lasText(rows, wrapped));
      const whole = readTable('las', [bytes]);
      expect(whole.samples).toEqual(rows);
      expect(readTable('las', cutAt(bytes, places))).toEqual(whole);
    }),
    { numRuns: 60 },
  );
});
