import { beforeAll, describe, expect, test } from 'vitest';
import { factsOf } from '../../../src/report/facts.ts';
import { recipeAt } from '../../../src/report/recipeAt.ts';
import { drawReport } from '../../../src/report/report.ts';
import type { ReportInput } from '../../../src/report/reportInput.ts';
import { workedRun } from '../../../src/report/workedRun.ts';
import type { Sheet, TextMark } from '../../../src/sheet/sheet.ts';
import { svgSheet } from '../../../src/sheet/svgSheet.ts';
import type { UnitSystem } from '../../../src/units.ts';
import { HOSTILE_NAME, inputWithAllParts } from '../../support/reportParts.ts';
import { layoutFaults, PLAIN_PEN } from '../../support/sheetChecks.ts';

const textsOf = ({ marks }: Sheet): TextMark[] => marks.filter((mark): mark is TextMark => mark.kind === 'text');
const saysOf = (sheets: readonly Sheet[]): string =>
  sheets
    .flatMap(textsOf)
    .map(({ text }) => text)
    .join(' ');
const partOf = (sheets: readonly Sheet[], part: string): Sheet[] => sheets.filter((sheet) => sheet.part === part);

let input: ReportInput;
let sheets: Sheet[];
beforeAll(() => {
  input = inputWithAllParts({ units: 'metric', name: HOSTILE_NAME });
  sheets = drawReport(input, PLAIN_PEN);
});

test('its parts in their order, all on numbered sheets, the contents with their pages', () => {
  const parts = [...new Set(sheets.map(({ part }) => part))];
  expect(parts).toEqual([
    'Job and cautions',
    'Plan as run',
    'Limits sheet',
    'Liner as run',
    'Pressure tests',
    'Depth corrections',
    'Joint table',
    'Joint sheets',
    'Time breakdown',
    'Events',
    'Signatures',
    'Verification',
    'Differences',
  ]);
  for (const [i, sheet] of sheets.entries()) expect(saysOf([sheet])).toContain(`Page ${i + 1} of ${sheets.length}`);
  const cover = textsOf(sheets[0]!).map(({ text }) => text);
  for (const part of parts.slice(1)) {
    const at = cover.lastIndexOf(part);
    const page = sheets.findIndex((sheet) => sheet.part === part) + 1;
    expect(cover[at + 1], part).toBe(String(page));
  }
  expect(new Set(sheets.map(({ key }) => key)).size).toBe(sheets.length);
});

describe.each<UnitSystem>(['metric', 'field'])('in %s units', (units) => {
  test('nothing lies off the margins or on top of something else', () => {
    const drawn = drawReport({ ...input, units }, PLAIN_PEN);
    expect(drawn.flatMap(layoutFaults)).toEqual([]);
  });
});

test('one sheet for each joint that is to be expanded', () => {
  const joints = partOf(sheets, 'Joint sheets');
  expect(joints.map(({ key }) => key)).toEqual(['joint/Z1', `joint/${HOSTILE_NAME}`, 'joint/S2']);
});

test('a gap is there with its cause, and leads to the traces at the moment it was rolled', () => {
  const sheet = sheets.find(({ key }) => key === 'joint/S2');
  const link = textsOf(sheet!).find(({ text, href }) => text === 'no data' && href !== undefined)!;
  const ms = Date.parse(/#at=([^&]+)&joint=S2/.exec(link.href!)![1]!);
  const run = input.worked.position.run;
  const event = run.events.events.find(({ kind, joint }) => kind === 'data gap' && joint === 'S2')!;
  // The nearest sample to the middle of the hole lies at one of its ends.
  expect(Math.min(Math.abs(ms - event.fromMs), Math.abs(ms - event.toMs!))).toBeLessThan(20_000);
});

test('a verdict leads to its evidence, a name in the tables to its sheet', () => {
  const hrefs = sheets.flatMap(textsOf).flatMap(({ href }) => (href === undefined ? [] : [href]));
  const keys = new Set(sheets.map(({ key }) => key));
  for (const href of hrefs) {
    if (href.startsWith('#sheet=')) expect(keys).toContain(decodeURIComponent(href.slice('#sheet='.length)));
    else expect(href).toMatch(/^#at=\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z(&joint=[^&\s]+)?$/);
  }
  for (const { key, marks } of partOf(sheets, 'Joint sheets')) {
    const verdict = marks.find((mark) => mark.kind === 'text' && mark.href?.startsWith('#at=') && mark.bold);
    expect((verdict as TextMark).href).toContain(`&joint=${encodeURIComponent(key.slice('joint/'.length))}`);
  }
});

test('what was decided, corrected, changed, signed, lost and damaged is said', () => {
  expect(saysOf(partOf(sheets, 'Joint table'))).toContain('to be rolled again');
  expect(saysOf(partOf(sheets, 'Depth corrections'))).toMatch(/upper.*2\u202f470\.00/);
  const limits = saysOf(partOf(sheets, 'Limits sheet'));
  expect(limits).toContain('Version 2');
  expect(limits).toContain('a longer gap was not agreed');
  expect(limits).toContain('limits.tanks.gain');
  expect(saysOf(partOf(sheets, 'Signatures'))).toMatch(/BROKEN since 2031-03-04/);
  expect(saysOf(partOf(sheets, 'Verification'))).toContain('NOT WHOLE');
  expect(saysOf(partOf(sheets, 'Verification'))).toContain('its checksum does not hold');
  const time = saysOf(partOf(sheets, 'Time breakdown'));
  expect(time).toContain('The day from 2031-03-03 06:00');
  expect(time).toMatch(/The day 24:00:00/);
  expect(time).toContain('weather');
  const differences = saysOf(partOf(sheets, 'Differences'));
  expect(differences).toContain('m lost');
  expect(differences).toContain('acceptance.longestGap');
  expect(differences).toMatch(/beside the run under version 1 of its plan/);
  const tests = saysOf(partOf(sheets, 'Pressure tests'));
  expect(tests).toContain('annulus test: packer');
  expect(tests).toContain('Source: as 30 CFR 250.721');
});

test('without what others know it says so', () => {
  const { signatures: _s, verification: _v, time: _t, against: _a, underFirstPlan: _u, ...alone } = input;
  const drawn = drawReport(alone, PLAIN_PEN);
  expect(saysOf(partOf(drawn, 'Signatures'))).toContain('Nothing has been signed');
  expect(saysOf(partOf(drawn, 'Verification'))).toContain('Not verified');
  expect(partOf(drawn, 'Differences')).toEqual([]);
  expect(drawn.flatMap(layoutFaults)).toEqual([]);
});

test('in the units that were asked for', () => {
  const field = saysOf(drawReport({ ...input, units: 'field' }, PLAIN_PEN));
  expect(field).toContain('psi');
  expect(field).not.toMatch(/\bkPa\b/);
  const metric = saysOf(sheets);
  expect(metric).toContain('kPa');
  expect(metric).not.toMatch(/\bpsi\b/);
});

test('hostile names are text on every sheet', () => {
  for (const sheet of sheets) expect(svgSheet(sheet)).not.toContain('<script');
});

test('a joint is shown with the windows of the plan that it was rolled by', () => {
  const { plan, samples } = input.worked.course;
  const screen = plan.recipes.screen!;
  const stricter = {
    ...plan,
    recipes: { ...plan.recipes, screen: { ...screen, pressure: { ...screen.pressure!, min: 9999 } } },
  };
  const after = new Date(samples.sourceMs[samples.rows - 1]! + 1000).toISOString();
  const changed = { at: after, by: 'a', action: 'change plan' as const, plan: stricter };
  const worked = workedRun({ ...input.worked.course, entries: [changed] });
  const [pass] = worked.position.run.job.joints.filter(({ name }) => name === 'S2');
  const facts = factsOf({ ...input, worked });
  const end = samples.sourceMs[samples.rows - 1]!;
  expect(recipeAt(facts, pass!, end)).toMatchObject({ version: 1, recipe: { pressureMinKpa: screen.pressure!.min } });
  expect(recipeAt(facts, pass!, end + 2000)).toMatchObject({ version: 2, recipe: { pressureMinKpa: 9999 } });
  const drawn = drawReport({ ...input, worked }, PLAIN_PEN).find(({ key }) => key === 'joint/S2')!;
  expect(saysOf([drawn])).toContain('outside the window of plan version 1');
});
