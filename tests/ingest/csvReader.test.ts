/** CSV: RFC 4180 (checked against csv-parse), and what the field makes of it. */
import { parse } from 'csv-parse/sync';
import * as fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { csvCells } from '../../ingest/csv/csvCells.ts';
import { csvColumn } from '../../ingest/csv/csvHeader.ts';
import { CSV_LIMITS } from '../../ingest/csv/csvReader.ts';
import { COLUMN_LIMITS } from '../../ingest/table/columnMap.ts';
import { LINE_LIMITS } from '../../ingest/table/lineSplitter.ts';
import { csvText } from '../support/tableWriters.ts';
import { cutAt, readTable } from './readTable.ts';
import { sampleRows } from './sampleRows.ts';

const NOON = Date.UTC(2031, 2, 4, 12);
const HEAD = 'Time,Standpipe pressure (kPa)';

/** Standpipe pressure of each sample, kPa. */
const pressures = (text: string, stream = {}): number[] =>
  readTable('csv', text, stream).samples.map(({ standpipePressure }) => standpipePressure);
/** Three rows a second apart with the given cells of one column. */
const table = (head: string, cells: readonly string[], separator = ','): string =>
  [head, ...cells.map((cell, i) => `2031-03-04T12:00:0${i}Z${separator}${cell}`), ''].join('\n');

describe('cells of a line', () => {
  it('are those that csv-parse finds (RFC 4180)', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '1', '.', ' ', ',', ';', '"', '\n', 'é'), maxLength: 8 });
    fc.assert(
      fc.property(
        fc.array(cell, { minLength: 2, maxLength: 6 }),
        fc.constantFrom(',', ';', '\t'),
        (cells, separator) => {
          const line = cells.map((text) => `"${text.replaceAll('"', '""')}"`).join(separator);
          const [expected] = parse(line, { delimiter: separator }) as string[][];
          expect(csvCells(line, separator as ',', 100)).toEqual(expected);
        },
      ),
    );
  });

  it.each([
    ['a,b,,c', ['a', 'b', '', 'c']],
    ['a,"b, c"', ['a', 'b, c']],
    ['a, "b" ,c', ['a', 'b', 'c']],
    ['9 5/8" liner,b', ['9 5/8" liner', 'b']],
    ['"a""b",""', ['a"b', '']],
    ['a,"b', null],
  ])('%s', (line, cells) => expect(csvCells(line, ',', 100)).toEqual(cells));
});

describe('a column of the header', () => {
  it.each([
    ['Standpipe pressure (kPa)', 'Standpipe pressure', 'kPa'],
    ['SPP [psi]', 'SPP', 'psi'],
    ['SPP{bar}', 'SPP', 'bar'],
    ['Torque (ft·lbf)', 'Torque', 'ft·lbf'],
    ['Hookload (avg)', 'Hookload (avg)', ''],
    ['SPM (1)', 'SPM (1)', ''],
    ['Stroke count (1)', 'Stroke count', '1'],
    ['Hookload (avg) (klbf)', 'Hookload (avg)', 'klbf'],
    ['Hookload, kN', 'Hookload', 'kN'],
    ['SPPA psi', 'SPPA', 'psi'],
    ['Stroke rate, pump 1', 'Stroke rate, pump 1', ''],
    ['Gas (units)', 'Gas', 'units'],
    ['(kPa)', '(kPa)', ''],
  ])('%s', (cell, name, unit) => expect(csvColumn(cell)).toEqual({ name, unit }));
});

describe('times', () => {
  const rows = (head: string, lines: readonly string[], stream = {}): number[] =>
    readTable('csv', `${head}\n${lines.join('\n')}\n`, stream).samples.map(({ sourceMs }) => sourceMs - NOON);
  it.each([
    ['ISO 8601 with Z', 'Time,SPP', ['2031-03-04T12:00:00Z,1', '2031-03-04T12:00:01.5Z,2'], [0, 1500]],
    ['with an offset', 'Time,SPP', ['2031-03-04T14:00:00+02:00,1', '2031-03-04T14:00:01+0200,2'], [0, 1000]],
    ['a blank in place of the T', 'Timestamp,SPP', ['2031-03-04 12:00:00,1', '2031-03-04 12:00:01,2'], [0, 1000]],
    ['seven decimals', 'Time,SPP', ['2031-03-04T12:00:00.0000000Z,1', '2031-03-04T12:00:01.9999999Z,2'], [0, 1999]],
    ['year first with slashes', 'Time,SPP', ['2031/3/4 12:00:00,1', '2031/3/4 12:00:01,2'], [0, 1000]],
    ['day first with dots', 'Time;SPP', ['04.03.2031 12:00:00;1', '04.03.2031 12:00:01;2'], [0, 1000]],
    ['the name of a month', 'DateTime,SPP', ['04-Mar-2031 12:00:00,1', '4 Mar 2031 12:00:01,2'], [0, 1000]],
    ['halves of the day', 'Time,SPP', ['2031-03-04 12:00:00 PM,1', '2031-03-04 12:00:01 pm,2'], [0, 1000]],
    ['date and time apart', 'Date,Time,SPP', ['2031-03-04,12:00:00,1', '2031-03-04,12:00:01,2'], [0, 1000]],
    ['WITS date and time', 'DATE,TIME,SPPA', ['310304,120000,1', '310304,120001,2'], [0, 1000]],
    ['joined without marks', 'Time,SPP', ['20310304120000,1', '20310304120001,2'], [0, 1000]],
    ['basic ISO 8601', 'Time,SPP', ['20310304T120000Z,1', '20310304T120001Z,2'], [0, 1000]],
    ['seconds since 1970', 'epoch,SPP', [`${NOON / 1000},1`, `${NOON / 1000 + 1}.25,2`], [0, 1250]],
    ['milliseconds since 1970', 'Time (ms),SPP', [`${NOON},1`, `${NOON + 1000},2`], [0, 1000]],
    ['microseconds since 1970', 'Time,SPP', [`${NOON}000,1`, `${NOON + 1000}000,2`], [0, 1000]],
    ['across midnight', 'Date,Time,SPP', ['2031-03-04,23:59:59,1', '2031-03-05,00:00:00,2'], [43_199_000, 43_200_000]],
  ])('%s', (_, head, lines, expected) => expect(rows(head, lines)).toEqual(expected));

  it('without a zone are of the zone of the plan', () =>
    expect(rows('Time,SPP', ['2031-03-04 13:00:00,1', '2031-03-04 13:00:01,2'], { utcOffsetMs: 3_600_000 })).toEqual([
      0, 1000,
    ]));

  it.each(['03/04/2031 12:00:00', '12:00:00', '45721.5', '2031-02-30T12:00:00Z', '2031-03-04T25:00:00Z', '60'])(
    '%s is none: refused in one line',
    (time) => {
      const { samples, counts, refusal } = readTable('csv', `Time,SPP\n${time},1\n${time},2\n`);
      expect([samples.length, counts.rejected]).toEqual([0, { 'unreadable time': 2, 'broken off': 1 }]);
      expect(refusal).toMatch(/^found the time "[^\n]*", expected ISO 8601 such as 2031-03-04T12:00:00Z/);
    },
  );
});

describe('values', () => {
  it.each([
    ['points', HEAD, ['1', '2.5', '-3e2'], ',', [1, 2.5, -300]],
    ['decimal commas with semicolons', HEAD.replace(',', ';'), ['1,5', '2', '0,25'], ';', [1.5, 2, 0.25]],
    ['decimal commas with tabs', HEAD.replace(',', '\t'), ['1,5', '2,5', '3'], '\t', [1.5, 2.5, 3]],
    ['points with semicolons', HEAD.replace(',', ';'), ['1.5', '2', '3'], ';', [1.5, 2, 3]],
    ['quoted', HEAD, ['"1"', '"2"', ' 3 '], ',', [1, 2, 3]],
    ['bar', 'Time,SPP (bar)', ['1', '2', '3'], ',', [100, 200, 300]],
    ['pascal', 'Time,SPPA [Pa]', ['1000', '2000', '3000'], ',', [1, 2, 3]],
    ['units in a row of their own', 'Time,SPP\n,bar', ['1', '2', '3'], ',', [100, 200, 300]],
    ['units in brackets in a row of their own', 'Time,SPP\n-,[bar]', ['1', '2', '3'], ',', [100, 200, 300]],
    ['an empty cell behind each row', `${HEAD},`, ['1,', '2,', '3,'], ',', [1, 2, 3]],
    ['by the id of the channel', 'Time,standpipePressure', ['1', '2', '3'], ',', [1, 2, 3]],
    ['by the code of the item', 'Time,0121', ['1', '2', '3'], ',', [1, 2, 3]],
  ])('%s', (_, head, cells, separator, expected) => expect(pressures(table(head, cells, separator))).toEqual(expected));

  it.each([
    '',
    ' ',
    '-999.25',
    '-999.2500',
    '-9999',
    'NaN',
    'null',
    'N/A',
    '#N/A',
    '#DIV/0!',
    '---',
    '1e308',
    'Infinity',
  ])('null: "%s"', (cell) => {
    const read = readTable('csv', table(HEAD, ['1', cell, '3']));
    expect(read.samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, Number.NaN, 3]);
    expect(read.counts.rejected).toEqual({});
  });

  it.each(['=1+1', '@SUM(A1)', '0x10', '1 000', '1.234,5', 'bad', '1e', '+', '12kPa', '\u0000', '9'.repeat(41)])(
    'no number, counted, never worked out: "%s"',
    (cell) => {
      const read = readTable('csv', table(HEAD, ['1', `"${cell}"`, '3']));
      expect(read.samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, Number.NaN, 3]);
      expect(read.counts.rejected).toEqual({ 'unreadable value': 1 });
    },
  );

  it('a table has one decimal mark, so that 18,900 is not read as 18.9', () => {
    const read = readTable('csv', table('Time;SPP (kPa)', ['1.5', '18,900', '3.5'], ';'));
    expect(read.samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1.5, Number.NaN, 3.5]);
    expect(read.counts.rejected).toEqual({ 'unreadable value': 1 });
  });

  it('the first of two columns of a channel is preferred by its name, whatever their order', () => {
    const text = 'Time,HKLX (kN),HKLA (kN)\n2031-03-04T12:00:00Z,9,1\n2031-03-04T12:00:01Z,9,2\n';
    expect(readTable('csv', text).samples.map(({ hookload }) => hookload)).toEqual([1, 2]);
  });
});

describe('the channel map', () => {
  const text = table('Time,Press A,Press B (psi)', ['1,10', '2,20', '3,30']);
  const spp = { channel: 'standpipePressure' } as const;
  it('names columns, with letters of either case', () =>
    expect(pressures(text, { channels: { 'PRESS a': spp } })).toEqual([1, 2, 3]));
  it('its unit wins over that of the file', () =>
    expect(pressures(text, { channels: { 'Press B': { ...spp, unit: 'bar' } } })).toEqual([1000, 2000, 3000]));
  it('scale and offset are of the number in the file', () =>
    expect(pressures(text, { channels: { 'Press A': { ...spp, unit: 'bar', scale: 2, offset: 1 } } })).toEqual([
      300, 500, 700,
    ]));
  it('a column that it leaves out is not among those not understood', () => {
    const { counts } = readTable('csv', text, { channels: { 'Press A': { channel: null } } });
    expect([...counts.unknownCodes.keys()]).toEqual(['Press B']);
  });
  it('a unit that does not fit its channel is a fault', () =>
    expect(() => readTable('csv', text, { channels: { 'Press A': { ...spp, unit: 'm' } } })).toThrow(
      /channels\["Press A"\]\.unit: found "m", expected a unit of pressure/,
    ));
  it('a column that is not there is said', () =>
    expect(readTable('csv', text, { channels: { Presse: spp } }).notes).toContain(
      'the channel map names "Presse": found no such column',
    ));
});

describe('what was not understood', () => {
  it('columns that feed nothing, with count and last text; units that fit nothing', () => {
    const read = readTable('csv', table('Time,Remark,Gas (units),SPP (m),Torque', ['a,,5,1', '"é, b",7,,2', ',,6,3']));
    expect(Object.fromEntries(read.counts.unknownCodes)).toEqual({
      Remark: { count: 2, last: 'é, b' },
      Gas: { count: 1, last: '7' },
      SPP: { count: 2, last: '6' },
    });
    expect(read.notes).toEqual([
      '"Torque" has no unit: taken as kN·m',
      '"SPP" is not read: found the unit "m", expected one of pressure',
    ]);
  });

  it('no more columns than the limit are listed, the values of the others are counted', () => {
    const names = Array.from({ length: 700 }, (_, i) => `c${i}`);
    const cells = names.map(() => '1').join(',');
    const { counts } = readTable('csv', table(`Time,${names.join(',')}`, [cells, cells, cells]));
    expect(counts.unknownCodes.size).toBe(500);
    expect(counts.rejected).toEqual({ 'unlisted column': 600 });
  });

  it('rows that do not fit', () => {
    const text = table(HEAD, ['1', '2,2', '"3', '4"', '5']).replace(
      'T12:00:04Z,5',
      'T12:00:04Z,5\nnonsense\n\n2031-03-04T12:00:05Z,6',
    );
    const { counts, samples } = readTable('csv', text);
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, Number.NaN, 5, 6]);
    expect(counts.rejected).toEqual({ 'ragged row': 2, 'unreadable value': 1 });
    expect(counts.frames).toBe(6);
  });

  it('rows out of order, repeated, or of one instant', () => {
    const at = (s: number, value: number) => `2031-03-04T12:00:${String(s).padStart(2, '0')}Z,${value}`;
    const rows = [at(1, 1), at(2, 2), at(3, 3), at(3, 3), at(3, 4), at(2, 9), at(4, 5)];
    const { counts, samples } = readTable('csv', `${HEAD}\n${rows.join('\n')}\n`);
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, 2, 3, 5]);
    expect(counts.rejected).toEqual({ 'repeated row': 1, 'second row of one instant': 1, 'out of order': 1 });
  });
});

describe('the header', () => {
  it('need not be the first line', () => {
    const read = readTable('csv', `Well,A 1\n# made at noon\n\n${table(HEAD, ['1', '2', '3'])}`);
    expect(read.samples.length).toBe(3);
    expect(read.counts.rejected).toEqual({ 'line before the header': 2 });
  });
  it('names that stand twice are numbered', () => {
    const read = readTable('csv', table('Time,Gas,Gas,SPP (kPa),SPP (kPa)', ['1,2,3,4', '1,2,3,4']));
    expect(read.columns.map(({ name }) => name)).toEqual(['Time', 'Gas', 'Gas:2', 'SPP', 'SPP:2']);
    expect(read.samples[0]!.standpipePressure).toBe(3);
  });
  it.each([
    ['none', 'a,b\n1,2\n', /^line 1: found "a,b", expected a header with a time column/],
    ['nothing at all', '', /^line 1: found "", expected a header/],
    [
      'none in many lines',
      'x\n'.repeat(CSV_LIMITS.linesBeforeHeader + 5),
      /expected a header with a time column .* in the first 64 lines$/,
    ],
    [
      'too many columns',
      `Time${',a'.repeat(COLUMN_LIMITS.columns)}\n`,
      /^line 1: found more than 4096 columns, expected fewer$/,
    ],
    ['1e5 columns', `Time${',c'.repeat(100_000)}\n1\n`, /^line 1: found more than 4096 columns, expected fewer$/],
    ['a line of 1 MB', 'a'.repeat(1_000_000), /^line 1: found more than 262144 characters, expected a header$/],
  ])('%s: refused in one line', (_, text, line) => {
    const { refusal, samples, counts } = readTable('csv', text);
    expect(refusal).toMatch(line);
    expect(refusal).not.toContain('\n');
    expect(samples).toEqual([]);
    expect(counts.rejected['broken off']).toBe(1);
  });
});

describe('encodings', () => {
  const text = table('Time,Mud temperature in (°C),SPP (kPa)', ['20.5,1', '21.5,2', '22.5,3']);
  it.each([
    ['UTF-8', Buffer.from(text)],
    ['UTF-8 with its mark', Buffer.from(`\uFEFF${text}`)],
    ['Latin-1', Buffer.from(text, 'latin1')],
    ['UTF-16 little endian with its mark', Buffer.from(`\uFEFF${text}`, 'utf16le')],
    ['UTF-16 little endian without', Buffer.from(text, 'utf16le')],
    ['UTF-16 big endian with its mark', Buffer.from(`\uFEFF${text}`, 'utf16le').swap16()],
    ['CR LF', Buffer.from(text.replaceAll('\n', '\r\n'))],
    ['CR alone', Buffer.from(text.replaceAll('\n', '\r'))],
  ])('%s', (_, bytes) => {
    const whole = readTable('csv', [bytes]);
    expect(whole.samples.map(({ temperatureIn }) => temperatureIn)).toEqual([20.5, 21.5, 22.5]);
    expect(whole.counts.rejected).toEqual({});
    expect(whole.counts.bytes).toBe(bytes.length);
    expect(
      readTable(
        'csv',
        [...bytes].map((byte) => Uint8Array.of(byte)),
      ),
    ).toEqual(whole);
  });
});

test('an open quote costs one row: what follows is read again', () => {
  const rows = Array.from(
    { length: 40 },
    (_, i) => `2031-03-04T12:00:${String(i).padStart(2, '0')}Z,${i === 5 ? '"5' : i}`,
  );
  const { samples, counts } = readTable('csv', `${HEAD}\n${rows.join('\n')}\n`);
  expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual(
    Array.from({ length: 40 }, (_, i) => i).filter((i) => i !== 5),
  );
  expect(counts.rejected).toEqual({ 'unclosed quote': 1 });
});

test('a row of 1 MB is refused, the next is read', () => {
  const long = '1'.repeat(LINE_LIMITS.characters + 1);
  const { samples, counts } = readTable('csv', table(HEAD, ['1', long, '3', '4']));
  expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, 3, 4]);
  expect(counts.rejected).toEqual({ 'line too long': 1 });
});

test('chunks cut anywhere give the same samples, counts and notes', () => {
  fc.assert(
    fc.property(
      sampleRows,
      fc.record({
        separator: fc.constantFrom(',', ';', '\t'),
        unitRow: fc.boolean(),
        lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
      }),
      fc.array(fc.nat()),
      (rows, style, places) => {
        const bytes = Buffer.from(csvText(rows, { ...style, comma: style.separator === ';' }));
        const whole = readTable('csv', [bytes]);
        expect(whole.samples).toEqual(rows);
        expect(readTable('csv', cutAt(bytes, places))).toEqual(whole);
      },
    ),
    { numRuns: 60 },
  );
});
