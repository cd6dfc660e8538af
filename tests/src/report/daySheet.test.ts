import { expect, test } from 'vitest';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { PHASE_NAMES } from '../../../src/phases.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { daySheets } from '../../../src/report/daySheet.ts';
import type { BoxMark, Sheet, TextMark } from '../../../src/sheet/sheet.ts';
import { stackedSheet } from '../../../src/sheet/stackedSheet.ts';
import { timeSheet } from '../../../src/time/timeSheet.ts';
import type { TimeSheet } from '../../../src/time/timeSheetSchema.ts';
import { layoutFaults, PLAIN_PEN } from '../../support/sheetChecks.ts';
import { SMALL_PLAN } from '../../support/smallPlan.ts';

const BASE = Date.parse('2031-03-04T00:00:00Z');
const MINUTE = 60_000;
const iso = (ms: number): string => new Date(ms).toISOString();

const planIn = (utcOffset: string): Plan =>
  planSchema.parse({
    ...SMALL_PLAN,
    stream: { utcOffset },
    time: { planned: [{ activity: 'expand screens', minutes: 30 }] },
  });

/** Two days of phases that change every `minutes`, and clocks that are put on by an hour in the second. */
function sheetOf(minutes: number, entries: readonly JournalEntry[] = []): TimeSheet {
  const count = Math.floor((40 * 60) / minutes);
  const phases = Array.from({ length: count }, (_, i) => ({
    phase: PHASE_NAMES[i % PHASE_NAMES.length]!,
    joint: i % 3 ? 'S1' : null,
    from: iso(BASE + i * minutes * MINUTE),
    to: iso(BASE + (i + 1) * minutes * MINUTE),
  }));
  const source = { frames: 1, rejected: 0, from: phases[0]!.from, to: phases.at(-1)!.to, reasons: {} };
  const change: JournalEntry = {
    at: iso(BASE + 30 * 60 * MINUTE),
    by: 'A',
    action: 'change plan',
    plan: planIn('+02:00'),
  };
  return timeSheet({ plan: planIn('+01:00'), record: { source, phases }, entries: [change, ...entries] });
}

const textsOf = ({ marks }: Sheet): string[] =>
  marks.filter((mark): mark is TextMark => mark.kind === 'text').map(({ text }) => text);
const drawn = (sheet: TimeSheet, day: number): Sheet[] =>
  daySheets({ sheet, day, well: 'Test 1', rig: 'Rig A', runName: 'trip 4' }, PLAIN_PEN);

test.each([7, 90])(
  'phases of %i minutes: every day can be read and sums to its length, 23 h where clocks were put on',
  (minutes) => {
    const sheet = sheetOf(minutes);
    expect(sheet.days.map(({ lengthMs }) => lengthMs / (60 * MINUTE))).toContain(23);
    sheet.days.forEach((day, i) => {
      const sheets = drawn(sheet, i);
      expect(sheets.flatMap(layoutFaults)).toEqual([]);
      const texts = sheets.flatMap(textsOf);
      const at = texts.indexOf('Sum');
      expect(texts[at + 1]).toBe(`${day.lengthMs / (60 * MINUTE)}:00:00`);
    });
  },
);

test('the drawing of the hours holds as many minutes as the run has in the day', () => {
  const sheet = sheetOf(7);
  const day = sheet.days[1]!;
  const [first] = drawn(sheet, 1);
  const hours = first!.marks.filter(
    (mark): mark is BoxMark => mark.kind === 'box' && mark.edge?.width === 0.25 && mark.edge.tone === 'soft',
  );
  const width = Math.max(...hours.map(({ x, width: own }) => x + own)) - Math.min(...hours.map(({ x }) => x));
  const minutes = (hours.reduce((sum, box) => sum + box.width, 0) / width) * 60;
  expect(minutes).toBeCloseTo((day.lengthMs - day.outsideMs) / MINUTE, 3);
});

test('a cause stands in the sheet of the day that it lies in, planned stands beside actual, links lead to the moment', () => {
  const [fromMs, toMs] = [BASE + 60 * MINUTE, BASE + 61 * MINUTE + 7000];
  const code: JournalEntry = {
    at: iso(toMs),
    by: 'Anna',
    action: 'time code',
    from: iso(fromMs),
    to: iso(toMs),
    code: 'TOOL',
    reason: 'rollers stuck',
  };
  const sheet = sheetOf(90, [code]);
  const [first, second] = [drawn(sheet, 0), drawn(sheet, 1)];
  expect(first.flatMap(textsOf)).toContain('rollers stuck');
  expect(second.flatMap(textsOf)).not.toContain('rollers stuck');
  expect(second.flatMap(textsOf).join(' ')).toContain('TOOL 1:07');
  expect(first.flatMap(textsOf)).toContain('30:00');
  const links = first
    .flatMap(({ marks }) => marks)
    .flatMap((mark) => (mark.kind === 'text' && mark.href ? mark.href : []));
  expect(links.some((link) => link.startsWith(`#at=${iso(fromMs)}`))).toBe(true);
});

test('stacked for a page without leaves nothing is lost, and nothing lies on top of something else', () => {
  const sheets = drawn(sheetOf(7), 1);
  expect(sheets.length).toBeGreaterThan(2);
  const one = stackedSheet(sheets);
  expect(one.height).toBeCloseTo(
    sheets.reduce((sum, { height }) => sum + height, 0),
    6,
  );
  expect(textsOf(one)).toEqual(sheets.flatMap(textsOf));
  expect(layoutFaults(one)).toEqual([]);
  expect(stackedSheet(sheets.slice(0, 1))).toBe(sheets[0]);
});
