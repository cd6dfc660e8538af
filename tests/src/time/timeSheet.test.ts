import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod/mini';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { PHASE_NAMES, type PhaseName } from '../../../src/phases.ts';
import { planProblems } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import { workWhole } from '../../../src/replay/course.ts';
import { ACTIVITY_OF } from '../../../src/time/activities.ts';
import { TIME_DEFAULTS, type TimePlan } from '../../../src/time/timePlan.ts';
import { timeSheet } from '../../../src/time/timeSheet.ts';
import { type TimeSheet, timeSheetSchema } from '../../../src/time/timeSheetSchema.ts';
import { demoCourse } from '../../support/demoCourse.ts';
import { SMALL_PLAN } from '../../support/smallPlan.ts';

const HOUR = 3600_000;
const BASE = Date.parse('2031-03-04T00:00:00Z');
const iso = (ms: number): string => new Date(ms).toISOString();

const planWith = (utcOffset: string, time?: TimePlan): Plan => {
  const plan = planSchema.parse({ ...SMALL_PLAN, stream: { utcOffset }, ...(time ? { time } : {}) });
  expect(planProblems(plan)).toEqual([]);
  return plan;
};

/** Phases one behind the other: name and minutes. */
function recordFrom(startMs: number, phases: readonly [PhaseName, number][]) {
  let at = startMs;
  const rows = phases.map(([phase, minutes]) => {
    const fromMs = at;
    at += Math.round(minutes * 60_000);
    return { phase, joint: null, from: iso(fromMs), to: iso(at) };
  });
  return { source: { frames: 1, rejected: 0, from: iso(startMs), to: iso(at), reasons: {} }, phases: rows };
}

const code = (from: number, to: number, name: string | null, by = 'A'): JournalEntry => ({
  at: iso(to),
  by,
  action: 'time code',
  from: iso(from),
  to: iso(to),
  code: name,
  reason: 'as seen',
});

/** Sums that must hold in every sheet. */
function holdsTogether(sheet: TimeSheet): void {
  const sum = (rows: readonly { ms: number }[]) => rows.reduce((all, { ms }) => all + ms, 0);
  let at = Date.parse(sheet.from);
  for (const day of sheet.days) {
    expect(sum(day.sums) + day.outsideMs).toBe(day.lengthMs);
    expect(sum(day.stretches)).toBe(sum(day.sums));
    for (const { from, to, ms, phase, activity } of day.stretches) {
      expect(Date.parse(from)).toBe(at);
      at = Date.parse(to);
      expect(at - Date.parse(from)).toBe(ms);
      expect(activity).toBe(ACTIVITY_OF[phase]);
    }
  }
  expect(at).toBe(Date.parse(sheet.to));
  expect(sum(sheet.totals)).toBe(Date.parse(sheet.to) - Date.parse(sheet.from));
  expect(sum(sheet.lost)).toBe(sheet.lostMs);
  expect(sheet.totals.reduce((all, { lostMs }) => all + lostMs, 0)).toBe(sheet.lostMs);
  expect(z.safeParse(timeSheetSchema, sheet).error).toBeUndefined();
}

describe('worked by hand', () => {
  it('a day from cut to cut sums to 24 h, planned against actual', () => {
    const plan = planWith('+01:00', {
      planned: [
        { activity: 'expand screens', minutes: 600 },
        { activity: 'tag depth', minutes: 30 },
      ],
    });
    // 05:00Z is 06:00 on the rig.
    const record = recordFrom(BASE + 5 * HOUR, [
      ['running in', 300],
      ['expanding screen', 720.5],
      ['waiting', 419.5],
      ['expanding screen', 60],
    ]);
    const sheet = timeSheet({ plan, record, entries: [] });
    holdsTogether(sheet);
    expect(sheet.days.map(({ date, lengthMs, outsideMs }) => [date, lengthMs / HOUR, outsideMs / HOUR])).toEqual([
      ['2031-03-04', 24, 0],
      ['2031-03-05', 24, 23],
    ]);
    expect(sheet.days[0]!.from).toBe('2031-03-04T06:00:00.000+01:00');
    expect(sheet.totals.find(({ activity }) => activity === 'expand screens')).toEqual({
      activity: 'expand screens',
      ms: 780.5 * 60_000,
      lostMs: 0,
      plannedMs: 600 * 60_000,
    });
    expect(sheet.totals.find(({ activity }) => activity === 'tag depth')).toMatchObject({
      ms: 0,
      plannedMs: 1_800_000,
    });
    expect(sheet.uncoded.map(({ activity, ms }) => [activity, ms / 60_000])).toEqual([['wait', 419.5]]);
    expect(sheet.defaults.map(({ place }) => place)).toEqual(['time.dayCut', 'time.askAfter', 'time.codes']);
  });

  it('what was said last about a stretch holds, also that it was not lost', () => {
    const record = recordFrom(BASE, [
      ['expanding screen', 60],
      ['stalled', 30],
      ['waiting', 90],
    ]);
    const entries = [
      code(BASE + HOUR, BASE + 3 * HOUR, 'TOOL'),
      code(BASE + 2 * HOUR, BASE + 2.5 * HOUR, 'ORDERS', 'B'),
      code(BASE + 2.75 * HOUR, BASE + 3 * HOUR, null),
    ];
    const sheet = timeSheet({ plan: planWith('+00:00'), record, entries });
    holdsTogether(sheet);
    expect(sheet.lost.map(({ code: name, ms }) => [name, ms / HOUR])).toEqual([
      ['TOOL', 1.25],
      ['ORDERS', 0.5],
    ]);
    expect(sheet.lost[0]!.says).toBe(TIME_DEFAULTS.codes.find((one) => one.code === 'TOOL')!.says);
    expect(sheet.uncoded.map(({ from, ms }) => [from, ms / HOUR])).toEqual([[iso(BASE + 2.75 * HOUR), 0.25]]);
  });

  it('a plan that sets the clocks forward makes a day of 23 h, and its words hold for the whole run', () => {
    const before = planWith('+01:00');
    const after = planWith('+02:00', { dayCut: '00:00', codes: [{ code: 'X', says: 'a cause' }] });
    const change: JournalEntry = { at: iso(BASE + 10 * HOUR), by: 'A', action: 'change plan', plan: after };
    const record = recordFrom(BASE - 2 * HOUR, [['expanding screen', 60 * 30]]);
    const sheet = timeSheet({ plan: before, record, entries: [change] });
    holdsTogether(sheet);
    expect(sheet.days.map(({ date, lengthMs }) => [date, lengthMs / HOUR])).toEqual([
      ['2031-03-03', 24],
      ['2031-03-04', 23],
      ['2031-03-05', 24],
    ]);
    expect(sheet.codes).toEqual([{ code: 'X', says: 'a cause' }]);
    // A plan that was refused changes no clock.
    const bad = structuredClone(after);
    bad.tools[1]!.name = bad.tools[0]!.name;
    const refused = timeSheet({ plan: before, record, entries: [{ ...change, plan: bad }] });
    expect(refused.days.every(({ lengthMs }) => lengthMs === 24 * HOUR)).toBe(true);
  });
});

it('whatever the phases, the codes, the cut and the clocks: sums are exact and every instant is in one stretch', () => {
  const phase = fc.tuple(fc.constantFrom(...PHASE_NAMES), fc.integer({ min: 1, max: 600 * 60_000 }));
  const said = fc.tuple(fc.nat(60 * 60), fc.nat(60 * 60), fc.constantFrom('RIG', 'TOOL', null));
  const clock = fc.tuple(fc.nat(60 * 60), fc.constantFrom('+00:00', '+01:00', '-03:30', '+05:45'));
  fc.assert(
    fc.property(
      fc.array(phase, { minLength: 1, maxLength: 20 }),
      fc.array(said, { maxLength: 8 }),
      fc.array(clock, { maxLength: 2 }),
      fc.integer({ min: 0, max: 23 }),
      (phases, codes, clocks, hour) => {
        const time = { dayCut: `${String(hour).padStart(2, '0')}:30` };
        const record = recordFrom(
          BASE + 123,
          phases.map(([name, ms]) => [name, ms / 60_000] as [PhaseName, number]),
        );
        const entries: JournalEntry[] = [
          ...codes.map(([from, to, name]) => code(BASE + from * 60_000, BASE + to * 60_000, name)),
          ...[...clocks]
            .sort(([a], [b]) => a - b)
            .map(
              ([minutes, offset]): JournalEntry => ({
                at: iso(BASE + minutes * 60_000),
                by: 'A',
                action: 'change plan',
                plan: planWith(offset, time),
              }),
            ),
        ];
        holdsTogether(timeSheet({ plan: planWith('+00:00', time), record, entries }));
      },
    ),
    { numRuns: 200 },
  );
});

it('of the demo: its minutes are those of the record', async () => {
  const { course, source } = await demoCourse();
  const { run } = workWhole(course);
  const record = recordOf(run, source);
  const sheet = timeSheet({ plan: course.plan, record, entries: [] });
  holdsTogether(sheet);
  for (const { phase, minutes } of Object.entries(record.minutes).map(([name, value]) => ({
    phase: name,
    minutes: value,
  }))) {
    const { ms } = sheet.totals.find(({ activity }) => activity === ACTIVITY_OF[phase as PhaseName])!;
    expect(ms / 60_000).toBeCloseTo(minutes, 2);
  }
});

describe('the part of the plan', () => {
  const placesOf = (time: unknown): string[] => {
    const parsed = planSchema.safeParse({ ...SMALL_PLAN, time });
    if (!parsed.success) return parsed.error.issues.map(({ path }) => path.join('.'));
    return planProblems(parsed.data).map(({ path }) => path);
  };

  it.each<[string, unknown, string]>([
    ['a cut that is none', { dayCut: '24:00' }, 'time.dayCut'],
    ['an activity that is none', { planned: [{ activity: 'rest', minutes: 1 }] }, 'time.planned.0.activity'],
    ['less than no time', { planned: [{ activity: 'wait', minutes: -1 }] }, 'time.planned.0.minutes'],
    ['no codes', { codes: [] }, 'time.codes'],
    [
      'a code twice',
      {
        codes: [
          { code: 'A', says: '' },
          { code: 'A', says: '' },
        ],
      },
      'time.codes[1].code',
    ],
  ])('%s is refused at its place', (_what, time, place) => {
    expect(placesOf(time)).toEqual([place]);
  });

  it('may be left out, in whole and in part', () => {
    for (const time of [undefined, {}, { dayCut: '00:00' }, { askAfter: 0 }]) expect(placesOf(time)).toEqual([]);
  });
});
