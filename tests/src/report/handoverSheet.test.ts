import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { z } from 'zod/mini';
import { VERDICTS } from '../../../src/causes.ts';
import { EVENT_NAMES, PRIORITIES } from '../../../src/events.ts';
import { HANDOVER_ROWS, type HandoverPage, handoverPageSchema } from '../../../src/handover/handoverPage.ts';
import { boundsText } from '../../../src/report/boundsText.ts';
import { type HandoverOnPaper, handoverSheets } from '../../../src/report/handoverSheet.ts';
import type { Sheet, TextMark } from '../../../src/sheet/sheet.ts';
import type { SignatureState } from '../../../src/signing/signatures.ts';
import { ACTIVITY_NAMES } from '../../../src/time/activities.ts';
import { HOSTILE_NAME } from '../../support/reportParts.ts';
import { layoutFaults, PLAIN_PEN } from '../../support/sheetChecks.ts';

const saysOf = (sheets: readonly Sheet[]): string =>
  sheets
    .flatMap(({ marks }) => marks.filter((mark): mark is TextMark => mark.kind === 'text'))
    .map(({ text }) => text)
    .join(' ')
    .replace(/[\u202f\s]+/g, ' ');

const BASE = Date.parse('2031-05-12T18:00:00Z');
const at = (minutes: number): string => new Date(BASE + minutes * 60_000).toISOString();
const times = <T>(count: number, make: (i: number) => T): T[] => Array.from({ length: count }, (_, i) => make(i));
const from = <T>(all: readonly T[], i: number): T => all[i % all.length]!;

/** A shift in which `rows` of everything came. */
function pageWith(rows: number, remarks = '', name = 'S1'): HandoverPage {
  const page: HandoverPage = {
    from: at(0),
    to: at(720),
    rigFrom: '2031-05-12T19:00:00.000+01:00',
    rigTo: '2031-05-13T07:00:00.000+01:00',
    since: 'twelve hours',
    units: 'metric',
    done: {
      length: 30.48,
      joints: times(rows, (i) => ({
        name: `${name} ${i}`,
        kind: 'screen',
        length: 3.048,
        coverage: 0.9876,
        verdict: from(VERDICTS, i),
        before: 'not reached',
      })),
      standsAdded: 4,
      standsMs: 780_000,
      inAll: { length: 90, required: 120, joints: 7, jointsRequired: 11 },
    },
    stops: times(rows, (i) => ({
      activity: from(ACTIVITY_NAMES, i),
      joint: name,
      from: at(5 * i),
      to: at(5 * i + 1),
      // The longest in the middle.
      ms: 60_000 + 1000 * (i === Math.floor(rows / 2) ? 3600 : i % 7),
      lost: i % 2 ? { code: 'TOOL', reason: `rollers ${name}`, by: 'Anna' } : null,
      events: ['stall'],
    })),
    stoppedMs: 4_000_000,
    events: times(rows, (i) => ({
      kind: from(EVENT_NAMES, i),
      priority: from(PRIORITIES, i),
      joint: name,
      depth: 2400 + i,
      from: at(6 * i),
      to: i % 2 ? at(6 * i + 2) : null,
      detail: `down to ${5000 + i} kPa`,
      acknowledged: i % 3 === 0,
    })),
    limits: ['recipes.screen.pressure.max = 11000', 'limits.setDown.max = 80', 'acceptance.coverage = 0.97'],
    depth: { corrected: 'by the journal', correction: -19.305, uncertainty: 0.098 },
    entries: times(rows, (i) => ({ at: at(i), by: 'Ben', action: 'note', text: `seen ${i} ${name}` })),
    sensors: [{ kind: 'data gap', times: 2, ms: 62_000, open: false, last: '40 s without a sample', lastFrom: at(60) }],
    next: {
      joint: { name, kind: 'screen', left: 3.048 },
      left: 30,
      jointsLeft: 4,
      jointDone: { from: at(725), to: at(740) },
      tripDone: null,
      toDecide: ['S9'],
    },
    remarks,
    leftOut: rows === HANDOVER_ROWS ? { events: 12 } : {},
  };
  return z.parse(handoverPageSchema, page);
}

const signature = (as: 'leaving' | 'coming', isBroken = false): SignatureState => ({
  number: 1,
  subject: 'handover',
  of: '3',
  version: 1,
  hash: '0123456789abcdef'.repeat(4),
  by: as === 'leaving' ? 'Anna Berg' : 'Ben Clay',
  role: 'company man',
  as,
  atUtc: at(721),
  rigTime: '2031-05-13T07:01:00.000+01:00',
  signedAt: at(721),
  holds: isBroken
    ? {
        kind: 'broken',
        since: at(800),
        cause: { kind: 'entry', action: 'handover remarks', by: 'Cy' },
        parts: ['remarks'],
      }
    : { kind: 'holds' },
});

const said = (page: HandoverPage, more: Partial<HandoverOnPaper> = {}): HandoverOnPaper => ({
  page,
  closed: { number: 3, by: 'Anna Berg', at: at(720) },
  signatures: [],
  well: 'Test 1',
  rig: 'Rig A',
  runName: 'trip 4',
  units: 'metric',
  ...more,
});

test.each([0, 1, 3, 8, 30, HANDOVER_ROWS])('a shift with %i of everything is one page that can be read', (rows) => {
  for (const units of ['metric', 'field'] as const) {
    const sheets = handoverSheets(said(pageWith(rows, 'pump 2 is slow', HOSTILE_NAME), { units }), PLAIN_PEN);
    expect(sheets).toHaveLength(1);
    expect(sheets.flatMap(layoutFaults)).toEqual([]);
  }
});

test('what is cut is the least important end of each list, and how much that is is said', () => {
  const page = pageWith(60);
  const words = saysOf(handoverSheets(said(page), PLAIN_PEN));
  // The longest stop is there, wherever it came.
  expect(words).toContain('1:01:00');
  expect(words).toMatch(/and \d+ more stops, not printed here/);
  expect(words).toMatch(/and \d+ more events, not printed here/);
  // Open ones of high priority before all else.
  const urgent = page.events.find(({ priority, to }) => priority === 'high' && to === null)!;
  expect(words).toContain(urgent.kind);
  expect(words).toContain('seen 59');
  expect(words).not.toContain('seen 0 ');
  // What the page itself had no room for is counted with them.
  const full = saysOf(handoverSheets(said(pageWith(HANDOVER_ROWS)), PLAIN_PEN));
  const [, more] = /and (\d+) more events/.exec(full)!;
  const [, fewer] = /and (\d+) more stops/.exec(full)!;
  expect(Number(more) - Number(fewer)).toBe(12);
});

test('lengths in the units asked for, limits in those of the plan, times across midnight with their dates', () => {
  const words = saysOf(handoverSheets(said(pageWith(2), { units: 'field' }), PLAIN_PEN));
  expect(words).toContain('100.0 ft');
  expect(words).toContain('limits in the units of the plan, metric');
  expect(words).toContain('recipes screen: pressure max 11000');
  expect(words).toContain('2031-05-12 19:00:00');
  expect(words).toContain('2031-05-13 07:00:00');
  expect(words).toContain('2031-05-12 19:05:00');
  expect(words).toContain('2031-05-13 07:05:00 to 2031-05-13 07:20:00');
});

test('a place for ink where nobody has signed; a signature, and when it broke, where somebody has', () => {
  const none = saysOf(handoverSheets(said(pageWith(1), { closed: null }), PLAIN_PEN));
  expect(none).toContain('Handover, not closed');
  expect(none.match(/Name, role, rig time, signature/g)).toHaveLength(2);
  const sheets = handoverSheets(
    said(pageWith(1), { signatures: [signature('leaving'), signature('coming', true)] }),
    PLAIN_PEN,
  );
  const words = saysOf(sheets);
  expect(words).toContain('Anna Berg, company man, leaving');
  expect(words).toContain('signed, holds');
  expect(words).toContain('BROKEN since 2031-05-13 07:20:00.000Z, by “handover remarks” of Cy: remarks');
  expect(sheets.flatMap(layoutFaults)).toEqual([]);
});

test('remarks that are too long for one page take a second one: nothing of them is cut', () => {
  const remarks = times(700, (i) => `word${i}`)
    .join(' ')
    .slice(0, 4000);
  const sheets = handoverSheets(said(pageWith(20, remarks)), PLAIN_PEN);
  expect(saysOf(sheets)).toContain(remarks.slice(-30));
  expect(sheets.flatMap(layoutFaults)).toEqual([]);
});

test('bounds are gathered by what they belong to, and none is lost', () => {
  expect(boundsText(['recipes.screen.tools[0] = "lower"', 'recipes.screen.tools[1] = "upper"', 'limits = {}'])).toEqual(
    [
      { group: 'recipes screen', text: 'tools lower, tools 2 upper' },
      { group: '', text: 'limits {}' },
    ],
  );
  const key = fc.stringMatching(/^[a-z]{1,6}$/);
  const line = fc.tuple(fc.array(key, { minLength: 1, maxLength: 4 }), fc.integer());
  fc.assert(
    fc.property(fc.array(line, { maxLength: 20 }), (lines) => {
      const groups = boundsText(lines.map(([keys, value]) => `${keys.join('.')} = ${value}`));
      const all = groups.flatMap(({ text }) => text.split(', '));
      expect(all).toHaveLength(lines.length);
      expect(all.map((one) => Number(one.split(' ').at(-1))).sort()).toEqual(lines.map(([, value]) => value).sort());
    }),
  );
});
