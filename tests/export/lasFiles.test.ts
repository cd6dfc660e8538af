/**
 * LAS files as others read them: by las-js, and against the rules of the standard itself (LAS 2.0, Canadian Well Logging
 * Society, update of January 2014), one by one.
 */
import fc from 'fast-check';
import { Las } from 'las-js';
import { beforeAll, describe, expect, test } from 'vitest';
import { emptySample } from '../../src/channels.ts';
import { depthLas } from '../../src/export/depthLas.ts';
import type { ExportInput } from '../../src/export/exportInput.ts';
import { asciiText, lasFile } from '../../src/export/lasFile.ts';
import { timeLas } from '../../src/export/timeLas.ts';
import { PHASE_NAMES } from '../../src/phases.ts';
import { demoCourse, type ReadCourse } from '../support/demoCourse.ts';
import { courseOfSamples, exportInput, NO_SOURCE, smallPlan, textOf } from './exportedRun.ts';

interface Parts {
  readonly text: string;
  /** Lines of each section by its letter, its title apart. */
  readonly sections: ReadonlyMap<string, readonly string[]>;
  readonly order: string;
  readonly rows: readonly (readonly string[])[];
  readonly well: ReadonlyMap<string, { readonly unit: string; readonly data: string }>;
}

/** As the standard cuts a line: first dot, first blank behind it, last colon. */
function cut(line: string): { mnemonic: string; unit: string; data: string } {
  const dot = line.indexOf('.');
  const blank = line.indexOf(' ', dot);
  const colon = line.lastIndexOf(':');
  return { mnemonic: line.slice(0, dot), unit: line.slice(dot + 1, blank), data: line.slice(blank, colon).trim() };
}

function partsOf(text: string): Parts {
  const sections = new Map<string, string[]>();
  let open: string[] = [];
  for (const line of text.split('\r\n')) {
    if (line.startsWith('~')) {
      open = [];
      expect(sections.has(line.charAt(1))).toBe(false);
      sections.set(line.charAt(1), open);
    } else open.push(line);
  }
  const rows = sections.get('A')!.map((line) => line.trim().split(/ +/));
  const well = new Map(
    sections.get('W')!.map((line) => {
      const { mnemonic, unit, data } = cut(line);
      return [mnemonic, { unit, data }];
    }),
  );
  return { text, sections, order: [...sections.keys()].join(''), rows, well };
}

const FIXED = /^-?\d+(\.\d+)?$/;

/** Every rule that the standard states for a file that is not wrapped. */
function followsTheStandard({ text, sections, order, rows, well }: Parts): void {
  expect(text).toMatch(/^[ -~\r\n]*$/);
  expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  expect(text.endsWith('\n')).toBe(false);
  expect(order).toBe('VWCPOA');
  expect(sections.get('V')!.map(cut)).toMatchObject([
    { mnemonic: 'VERS', data: '2.0' },
    { mnemonic: 'WRAP', data: 'NO' },
  ]);
  for (const name of ['STRT', 'STOP', 'STEP', 'NULL', 'COMP', 'WELL', 'FLD', 'LOC', 'PROV', 'SRVC', 'DATE', 'UWI']) {
    expect([...well.keys()]).toContain(name);
  }
  const curves = sections.get('C')!.map(cut);
  for (const line of [...sections.get('W')!, ...sections.get('C')!, ...sections.get('P')!]) {
    const { mnemonic, unit } = cut(line);
    expect(mnemonic).toMatch(/^[^ .:]+$/);
    expect(unit).toMatch(/^[^ :]*$/);
    expect(line).toContain(' : ');
  }
  expect(new Set(curves.map(({ mnemonic }) => mnemonic)).size).toBe(curves.length);
  const index = curves[0]!;
  expect(['DEPT', 'DEPTH', 'TIME']).toContain(index.mnemonic);
  for (const name of ['STRT', 'STOP', 'STEP']) expect(well.get(name)!.unit).toBe(index.unit);
  if (index.mnemonic !== 'TIME') expect(['M', 'F', 'FT']).toContain(index.unit);
  expect(well.get('DATE')!.data).toMatch(/^\d{4} \d\d \d\d$/);
  const widths = new Set(sections.get('A')!.map((line) => line.length));
  expect(widths.size).toBe(1);
  let before = -Infinity;
  for (const row of rows) {
    expect(row.length).toBe(curves.length);
    for (const cell of row) if (!FIXED.test(cell)) expect(cell).toMatch(FIXED);
    expect(Number(row[0])).toBeGreaterThan(before);
    before = Number(row[0]);
  }
  expect(well.get('STRT')!.data).toBe(rows[0]![0]);
  expect(well.get('STOP')!.data).toBe(rows.at(-1)![0]);
  stepHolds(well.get('STEP')!.data, rows);
}

/** In whole units of the last decimal: steps are told apart exactly. */
function stepHolds(step: string, rows: Parts['rows']): void {
  const whole = (text: string): number => Math.round(Number(text) * 1000);
  const steps = new Set(rows.slice(1).map((row, i) => whole(row[0]!) - whole(rows[i]![0]!)));
  if (Number(step) === 0) expect(steps.size).not.toBe(1);
  else {
    expect([...steps]).toEqual([whole(step)]);
    for (const [index] of rows) expect(whole(index!) % whole(step)).toBe(0);
  }
}

const SYSTEMS = ['metric', 'field'] as const;
const FILES = [
  ['by time', (input: ExportInput) => timeLas(input)],
  ['by depth', (input: ExportInput) => depthLas(input)],
] as const;

let demo: ReadCourse;
let worked: ExportInput;
beforeAll(async () => {
  demo = await demoCourse();
  worked = exportInput(demo.course, demo.source, 'metric');
});
const demoIn = (units: 'metric' | 'field', name = 'trip 4'): ExportInput => ({ ...worked, units, name });

describe.each(FILES)('the demo %s', (_, write) => {
  test.each(SYSTEMS)('in %s units follows the standard, and las-js reads the same numbers', async (units) => {
    const parts = partsOf(textOf(write(demoIn(units))));
    followsTheStandard(parts);
    const las = new Las(parts.text.replaceAll('\r\n', '\n'), { loadFile: false });
    expect(await las.version()).toBe(2);
    expect(await las.wrap()).toBe(false);
    const curves = parts.sections.get('C')!.map((line) => cut(line).mnemonic);
    expect(await las.header()).toEqual(curves);
    expect(await las.rowCount()).toBe(parts.rows.length);
    const read = (await las.data()).map((row) => row.map(Number));
    expect(read).toEqual(parts.rows.map((row) => row.map(Number)));
    const { STRT, NULL } = await las.wellParams();
    expect(STRT).toMatchObject({ unit: parts.well.get('STRT')!.unit });
    expect(Number(NULL!.value)).toBe(Number(parts.well.get('NULL')!.data));
  });
});

test('codes are numbers in ~A, and their meaning stands in ~P', () => {
  const { sections, rows } = partsOf(textOf(timeLas(demoIn('metric'))));
  const curves = sections.get('C')!.map((line) => cut(line).mnemonic);
  const legend = new Map(sections.get('P')!.map((line) => [cut(line).mnemonic, cut(line).data]));
  const phases = new Set(rows.map((row) => legend.get(`PHASE${row[curves.indexOf('PHASE')]}`)));
  expect(phases).toContain('expanding screen');
  for (const phase of phases) expect(PHASE_NAMES).toContain(phase);
  expect(legend.get('START')).toBe(new Date(demo.samples[0]!.sourceMs).toISOString());
});

test('by depth: what the record says of each depth, and what the tool met there', () => {
  const input = demoIn('metric');
  const { sections, rows, well } = partsOf(textOf(depthLas(input)));
  const curves = sections.get('C')!.map((line) => cut(line).mnemonic);
  const column = (name: string) => rows.map((row) => Number(row[curves.indexOf(name)]));
  const none = Number(well.get('NULL')!.data);
  const depths = column('DEPT');
  const expanded = column('EXPD');
  const pressure = column('SPPA');
  for (const joint of input.record.joints.filter(({ required }) => required > 0)) {
    const inside = depths
      .map((depth, i) => ({ depth, i }))
      .filter(({ depth }) => depth > joint.top && depth < joint.bottom);
    const yes = inside.filter(({ i }) => expanded[i] === 1).length;
    const no = inside.filter(({ i }) => expanded[i] === 0).length;
    // One point a tenth of a metre: each end may lie between two.
    expect(Math.abs(0.1 * yes - joint.expanded)).toBeLessThan(0.11 * (1 + joint.gaps.length));
    expect(Math.abs(0.1 * (yes + no) - joint.required)).toBeLessThan(0.11);
    for (const { i } of inside) if (expanded[i] === 1) expect(pressure[i]).not.toBe(none);
  }
});

test('a pass that is asked for, and a tool; one that the plan lacks is refused', () => {
  const input = demoIn('metric');
  const passed = (choice: Parameters<typeof depthLas>[1]): number => {
    const { sections, rows, well } = partsOf(textOf(depthLas(input, choice)));
    const at = sections
      .get('C')!
      .map((line) => cut(line).mnemonic)
      .indexOf('PASS');
    return rows.filter((row) => row[at] !== well.get('NULL')!.data).length;
  };
  expect(passed({})).toBeGreaterThan(100);
  expect(passed({ pass: 1 })).toBe(passed({}));
  expect(passed({ pass: 99 })).toBe(0);
  expect(passed({ tool: input.job.tools[0]!.name })).toBeGreaterThan(100);
  expect(() => passed({ tool: 'none' })).toThrow('tool: found "none", expected one of ');
});

test('uneven samples have STEP 0, milliseconds and a null that no reading is', () => {
  const samples = [0, 1000, 1500, 4000, 6250].map((ms, i) => {
    const sample = emptySample(Date.UTC(2031, 2, 4) + ms, 0);
    sample.bitDepth = 1000 + i / 1000;
    sample.blockPosition = [-999.25, -9999.25, 3, Number.NaN, 5][i]!;
    sample.hookload = 1e-9 * i;
    return sample;
  });
  const plan = { ...smallPlan(), stream: { utcOffset: '+05:30', nulls: [], gapAfter: 5 } };
  const parts = partsOf(textOf(timeLas(exportInput(courseOfSamples(samples, plan), NO_SOURCE, 'metric'))));
  followsTheStandard(parts);
  expect(parts.well.get('STEP')!.data).toBe('0');
  expect(parts.well.get('NULL')!.data).toBe('-9999');
  expect(parts.rows.map(([time]) => time)).toEqual(['0.000', '1.000', '1.500', '4.000', '6.250']);
  expect(parts.text).not.toMatch(/\de-/);
  expect(parts.text).toContain('START.       2031-03-04T05:30:00.000+05:30');
});

test('any names stay on their lines, in ASCII, and add no line', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' }), (name, well) => {
      const log = {
        columns: [
          { mnemonic: 'TIME', unit: 'S', description: name, values: [0, 1], text: String },
          { mnemonic: 'SPPA', unit: 'kPa', description: 'a', values: [5, Number.NaN], text: String },
        ],
        rows: 2,
        step: '1',
        well,
        rig: name,
        date: '2031 03 04',
        parameters: [{ mnemonic: 'RUN', data: name, description: well }],
      };
      const parts = partsOf(textOf(lasFile(log)));
      followsTheStandard(parts);
      expect(parts.rows.length).toBe(2);
      expect(parts.well.get('WELL')!.data).toBe(asciiText(well));
    }),
    { numRuns: 40 },
  );
});
