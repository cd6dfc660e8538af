/** Caliper logs as they come: units, nulls, two arms, and every way to be wrong with its place and one clear line. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CALIPER_LIMITS, type CaliperOptions, readCaliperLog } from '../../../src/engineering/caliperLog.ts';

const las = (curves: readonly string[], rows: readonly string[], { version = '2.0', nullValue = '-999.25' } = {}) =>
  [
    '~Version',
    `VERS. ${version} : LAS`,
    'WRAP. NO :',
    '~Well',
    `NULL. ${nullValue} :`,
    '~Curve',
    ...curves.map((curve) => `${curve} : c`),
    '~Ascii',
    ...rows,
    '',
  ].join('\n');
const ONE = ['DEPT.M', 'CALI.IN'];
const read = (text: string, options: Partial<CaliperOptions> = {}) =>
  readCaliperLog(text, { file: 'hole.las', nulls: [-999.25, -9999], ...options });

describe('LAS 2.0', () => {
  it('metres and inches, logged upwards, a null in the middle', () => {
    const reading = read(las(ONE, ['2400.2 10.00', '2400.1 -999.2500', '2400.0 9.00']));
    expect(reading).toEqual({
      log: { depthM: [2400, 2400.1, 2400.2], diameterMm: [228.6, Number.NaN, 254], crossDiameterMm: null },
      problems: [],
      refusedRows: 0,
      nullRows: 1,
    });
  });

  it('feet and millimetres, two arms among other curves', () => {
    const { log } = read(las(['DEPT.FT', 'GR.GAPI', 'C1.MM', 'C2.MM'], ['1000 55 216 220', '1001 60 217 221']));
    expect(log!.depthM[0]).toBeCloseTo(304.8, 9);
    expect(log!.depthM[1]).toBeCloseTo(305.1048, 9);
    expect(log!.diameterMm).toEqual([216, 217]);
    expect(log!.crossDiameterMm).toEqual([220, 221]);
  });

  it('a null of the other arm is a null of the row', () => {
    const rows = ['1000 216 -999.25', '1001 217 221', '1002 217 221'];
    expect(read(las(['DEPT.M', 'C1.MM', 'C2.MM'], rows)).nullRows).toBe(1);
  });

  it('a null is compared as a number, and nothing near it is one', () => {
    const rows = ['1000 216', '1001 999.2500', '1002 999.0'];
    const { log } = read(las(['DEPT.M', 'CALI.MM'], rows, { nullValue: '999.25' }));
    expect(log!.diameterMm).toEqual([216, Number.NaN, 999]);
  });

  it('columns that a person has named', () => {
    const curves = ['DEPT.M', 'CALI.IN', 'C1.IN', 'C2.IN', 'ARM.MM'];
    const rows = ['2400 8.5 8.6 8.7 219', '2401 8.5 8.6 8.7 219'];
    expect(read(las(curves, rows), { columns: ['arm'] }).log!.diameterMm).toEqual([219, 219]);
    expect(read(las(curves, rows)).problems).toEqual([
      'hole.las line 6: found 3 caliper columns among "DEPT, CALI, C1, C2, ARM", expected one or two caliper columns; name them',
    ]);
  });
});

describe('CSV with its units in the header', () => {
  it.each([
    ['commas', 'depth (m),caliper (in)\n2400,8.5\n2401,9\n'],
    ['semicolons, brackets, quotes, remarks', '# remark\n"Depth [m]";"Caliper [in]"\n\n2400;8.5\r\n# more\n2401;9'],
    ['tabs', 'MD (m)\tCALI (in)\n2400\t8.5\n2401\t9'],
    ['inches in full', 'measured depth (metres),caliper (inches)\n2400,8.5\n2401,9\n'],
  ])('%s', (_what, text) => {
    const { log, problems } = read(text);
    expect(problems).toEqual([]);
    expect(log!.depthM).toEqual([2400, 2401]);
    expect(log!.diameterMm.map((d) => d / 25.4)).toEqual([8.5, 9]);
  });

  it('two arms; an empty cell and a null value are both null', () => {
    const { log, nullRows } = read('depth (m),caliper 1 (mm),caliper 2 (mm)\n1,210,212\n2,,212\n3,210,-9999\n');
    expect(log!.diameterMm).toEqual([210, Number.NaN, 210]);
    expect(log!.crossDiameterMm).toEqual([212, 212, Number.NaN]);
    expect(nullRows).toBe(2);
  });
});

describe('a row that is refused, with the rest taken', () => {
  const good = ['2400 8.5', '2401 8.5'];
  it.each([
    ['a decimal comma', '2402 8,52', 'found "8,52" in CALI, expected a decimal point, not a comma'],
    ['text', '2402 wide', 'found "wide" in CALI, expected a number'],
    ['too few values', '2402', 'found 1 values, expected 2'],
    ['too many values', '2402 8.5 9', 'found 3 values, expected 2'],
    ['millimetres called inches', '2402 216', 'found "216" in CALI, expected a diameter between 50 and 1500 mm'],
    ['inches called millimetres', '2402 0.33', 'found "0.33" in CALI, expected a diameter between 50 and 1500 mm'],
    ['a depth below any well', '24020 8.5', 'found "24020" in DEPT, expected a depth between 0 and 15000 m'],
    ['a depth that is null', '-999.25 8.5', 'found "-999.25" in DEPT, expected a depth'],
    ['a number without end', `2402 ${'1'.repeat(500)}`, `found "${'1'.repeat(40)}" in CALI, expected a number`],
    ['a depth twice', '2401 8.6', 'found depth 2401 m after 2401 m, expected depths in order'],
    ['a depth that turns back', '2400.5 8.6', 'found depth 2400.5 m after 2401 m, expected depths in order'],
  ])('%s', (_what, bad, words) => {
    const { log, problems, refusedRows } = read(las(ONE, [...good, bad, '2403 8.5']));
    expect(problems).toEqual([`hole.las line 12: ${words}`]);
    expect(refusedRows).toBe(1);
    expect(log!.depthM).toEqual([2400, 2401, 2403]);
  });

  it('decimal commas in every row of a comma file leave nothing, and say so', () => {
    const { log, problems } = read('depth (m),caliper (mm)\n2400,1,216,2\n2400,2,216,1\n');
    expect(log).toBeNull();
    expect(problems).toEqual([
      'hole.las: found 0 usable rows, expected at least two',
      'hole.las line 2: found 4 values, expected 2',
      'hole.las line 3: found 4 values, expected 2',
    ]);
  });

  it('of many, the first are told and the rest counted', () => {
    const bad = Array.from({ length: 100 }, () => 'x y');
    const { problems, refusedRows } = read(las(ONE, [...good, ...bad]));
    expect(refusedRows).toBe(100);
    expect(problems.length).toBe(CALIPER_LIMITS.problems + 1);
    expect(problems.at(-1)).toBe(`hole.las: ${100 - CALIPER_LIMITS.problems} more rows refused`);
  });
});

describe('a file that is refused whole', () => {
  const rows = ['2400 8.5', '2401 8.5'];
  it.each([
    ['another LAS', las(ONE, rows, { version: '3.0' }), 'hole.las: found LAS version "3.0", expected LAS 2.0'],
    [
      'a null that is no number',
      las(ONE, rows, { nullValue: 'none' }),
      'hole.las: found NULL "none", expected a number',
    ],
    ['no rows', las(ONE, rows).split('~Ascii')[0]!, 'hole.las: found no ~A section, expected the rows of the log'],
    ['one curve', las(['DEPT.M'], ['2400']), 'hole.las line 6: found 1 curves in ~C, expected depth and a caliper'],
    [
      'time',
      las(['TIME.S', 'CALI.IN'], rows),
      'hole.las line 6: found first column "TIME", expected depth: DEPT, DEPTH or MD',
    ],
    ['depth in seconds', las(['DEPT.S', 'CALI.IN'], rows), 'hole.las line 6: found unit "S" of DEPT, expected m or ft'],
    [
      'a caliper in metres',
      las(['DEPT.M', 'CALI.M'], rows),
      'hole.las line 6: found unit "M" of CALI, expected mm or in',
    ],
    [
      'a unit that is a word of the language',
      las(['DEPT.M', 'CALI.constructor'], rows),
      'hole.las line 6: found unit "constructor" of CALI, expected mm or in',
    ],
    [
      'no caliper',
      las(['DEPT.M', 'GR.GAPI'], rows),
      'hole.las line 6: found 0 caliper columns among "DEPT, GR", expected one or two caliper columns; name them',
    ],
    ['no unit', 'depth,caliper (in)\n1,8\n2,8\n', 'hole.las line 1: found unit "" of depth, expected m or ft'],
    ['nothing', '', 'hole.las: found an empty file, expected a log in LAS 2.0 or CSV'],
    [
      'a header without end',
      `${'x'.repeat(5000)}\n`,
      'hole.las line 1: found 5000 characters, expected a header with column names and units',
    ],
  ])('%s', (_what, text, problem) => {
    const { log, problems } = read(text);
    expect(log).toBeNull();
    expect(problems).toEqual([problem]);
  });

  it('more characters or rows than the limit', () => {
    expect(read(' '.repeat(CALIPER_LIMITS.characters + 1)).problems[0]).toMatch(/characters, expected at most/);
    const many = `depth (m),caliper (mm)\n${'1,200\n'.repeat(CALIPER_LIMITS.rows + 5)}`;
    expect(read(many).problems).toEqual([
      `hole.las: found more than ${CALIPER_LIMITS.rows} rows, expected at most ${CALIPER_LIMITS.rows}`,
    ]);
  });
});

describe('any text', () => {
  it('gives a log, or says why not, and never throws', () => {
    const scraps = fc.constantFrom(
      '~V\n',
      'VERS. 2.0 :\n',
      '~C\n',
      'DEPT.M :\n',
      'CALI.MM :\n',
      '~A\n',
      '1 200\n',
      '2 300\n',
      'x,',
      '\n',
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(scraps, { maxLength: 30 }).map((parts) => parts.join('')),
    );
    fc.assert(
      fc.property(text, (given) => {
        const { log, problems } = read(given);
        if (log === null) expect(problems.length).toBeGreaterThan(0);
        else expect(log.depthM.every((depth, i) => i === 0 || depth > log.depthM[i - 1]!)).toBe(true);
      }),
    );
  });

  it('upwards or downwards is the same log', () => {
    const depths = fc.uniqueArray(fc.integer({ min: 0, max: 15_000 }), { minLength: 2, maxLength: 40 });
    fc.assert(
      fc.property(depths, (drawn) => {
        const rows = drawn.sort((a, b) => a - b).map((depth) => `${depth} ${200 + (depth % 50)}`);
        const down = read(las(['DEPT.M', 'CALI.MM'], rows));
        expect(read(las(['DEPT.M', 'CALI.MM'], rows.slice().reverse()))).toEqual(down);
        expect(down.log!.depthM).toEqual(drawn);
      }),
    );
  });
});
