/** LAS 2.0 (Canadian Well Logging Society, update of January 2014): header lines and rows, wrapped or not. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readHeaderLine } from '../../../src/engineering/lasFold.ts';
import { isLasText, readLasText } from '../../../src/engineering/lasText.ts';

const LAS = `~VERSION INFORMATION
VERS.                          2.0 :   CWLS LOG ASCII STANDARD -VERSION 2.0
WRAP.                          NO  :   ONE LINE PER DEPTH STEP
~WELL INFORMATION
#MNEM.UNIT              DATA                       DESCRIPTION
STRT    .M              1670.0000                :START DEPTH
STOP    .M              1669.7500                :STOP DEPTH
STEP    .M              -0.1250                  :STEP
NULL    .               -999.25                  :NULL VALUE
DATE    .               13:45 1986               :LOG DATE
~CURVE INFORMATION
DEPT   .M                                        :  1  DEPTH
CALI   .IN             45 280 11 00              :  2  CALIPER
~A  DEPTH     CALI
1670.000   8.625
1669.875  -999.25
1669.750   8.500
`;

describe('header lines of the standard: first dot, first blank after it, last colon', () => {
  it.each([
    ['STRT    .M              1670.0000                :START DEPTH', 'STRT', 'M', '1670.0000'],
    ['NULL.                   -999.25 :', 'NULL', '', '-999.25'],
    ['DATE .  13:45 1986 : LOG: DATE', 'DATE', '', '13:45 1986 : LOG'],
    ['BS.MM 200.5 : bit size', 'BS', 'MM', '200.5'],
    ['VERS. 2.0', 'VERS', '', '2.0'],
    ['cali.in: caliper', 'CALI', 'in', ''],
  ])('%s', (line, mnemonic, unit, data) => expect(readHeaderLine(line)).toEqual({ mnemonic, unit, data }));
  it('a line without a dot is none', () => expect(readHeaderLine('no such line')).toBeNull());
});

describe('a log', () => {
  it('unwrapped: curves, null value, rows with their lines', () => {
    expect(readLasText(LAS, 100)).toEqual({
      version: '2.0',
      nullValue: '-999.25',
      curves: [
        { mnemonic: 'DEPT', unit: 'M' },
        { mnemonic: 'CALI', unit: 'IN' },
      ],
      rows: [
        { line: 15, cells: ['1670.000', '8.625'] },
        { line: 16, cells: ['1669.875', '-999.25'] },
        { line: 17, cells: ['1669.750', '8.500'] },
      ],
      curvesLine: 11,
      dataLine: 14,
    });
  });

  it.each([
    ['CR LF', LAS.replaceAll('\n', '\r\n')],
    ['CR alone', LAS.replaceAll('\n', '\r')],
    ['tabs and a byte order mark', `\uFEFF${LAS.replaceAll('  ', '\t')}`],
    ['comments and blanks between rows', LAS.replace('1669.875', '# a remark\n\n1669.875')],
    ['lower-case sections', LAS.replace(/^~(.)/gm, (_, letter: string) => `~${letter.toLowerCase()}`)],
  ])('with %s is the same log', (_what, text) => {
    const plain = readLasText(LAS, 100);
    const read = readLasText(text, 100);
    expect(read.rows.map((row) => row.cells)).toEqual(plain.rows.map((row) => row.cells));
    expect(read.curves).toEqual(plain.curves);
    expect(isLasText(text)).toBe(true);
  });

  const five = 'A B C D E'.split(' ').map((name) => `${name}.M : ${name}`);
  const wrapped = (rows: string) => `~V\nVERS. 2.0 :\nWRAP. YES :\n~C\n${five.join('\n')}\n~A\n${rows}`;

  it('wrapped: each row from its index alone on a line to its last curve', () => {
    const { rows } = readLasText(wrapped('1\n 2 3\n 4 5\n6\n7 8 9 10\n'), 100);
    expect(rows).toEqual([
      { line: 11, cells: ['1', '2', '3', '4', '5'] },
      { line: 14, cells: ['6', '7', '8', '9', '10'] },
    ]);
  });

  it('wrapped and cut short: what there is, for the reader to refuse', () => {
    expect(readLasText(wrapped('1\n2 3 4 5\n6\n7 8'), 100).rows.at(-1)).toEqual({ line: 13, cells: ['6', '7', '8'] });
  });

  it('wrapped or not, the same numbers give the same rows', () => {
    const row = fc.array(fc.integer(), { minLength: 5, maxLength: 5 });
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 8 }), fc.integer({ min: 1, max: 4 }), (table, width) => {
        const lines = table.flatMap(([index, ...rest]) => {
          const chunks = rest.flatMap((_, i) => (i % width === 0 ? [rest.slice(i, i + width).join(' ')] : []));
          return [String(index), ...chunks];
        });
        const cells = readLasText(wrapped(lines.join('\n')), 100).rows.map((r) => r.cells.map(Number));
        expect(cells).toEqual(table);
      }),
    );
  });

  it('has no more rows than asked for', () => expect(readLasText(LAS, 2).rows.length).toBe(2));
});

describe('recognition', () => {
  it.each([
    ['# a remark\n\n~V\n', true],
    ['depth (m),caliper (in)\n1,2\n', false],
    ['', false],
    ['\n   \n# only remarks', false],
    ['a ~V', false],
  ])('%j: %s', (text, las) => expect(isLasText(text)).toBe(las));

  it('is quick on blanks without end', () => expect(isLasText(' '.repeat(200_000))).toBe(false));
});
