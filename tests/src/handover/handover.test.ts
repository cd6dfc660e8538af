import { beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod/mini';
import { EVENT_NAMES } from '../../../src/events.ts';
import { handoverPage, openPeriod, SENSOR_EVENTS } from '../../../src/handover/handover.ts';
import { HANDOVER_ROWS, type HandoverPage, handoverPageSchema } from '../../../src/handover/handoverPage.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { finishNow } from '../../../src/pipeline/pace.ts';
import { recordOf } from '../../../src/record/record.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { type Position, startOf, workTo } from '../../../src/replay/course.ts';
import { busyJournal, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';

let read: ReadCourse;
let entries: JournalEntry[];
let fromMs: number;
let lastsMs: number;
beforeAll(async () => {
  read = await demoCourse();
  const { samples, plan } = read.course;
  fromMs = samples.sourceMs[0]!;
  lastsMs = samples.sourceMs[samples.rows - 1]! - fromMs;
  entries = busyJournal(plan, fromMs, lastsMs, 2421).filter(
    ({ action }) => action !== 'set depth' && action !== 'change plan',
  );
});

/** The run as it stood when a share of its samples was in. */
function positionAt(share: number): Position {
  const course = { ...read.course, entries };
  const position = startOf(course);
  const row = Math.round(share * read.course.samples.rows);
  workTo(course, position, row, read.course.samples.sourceMs[row - 1]! + 1);
  return position;
}
const recordAt = (share: number): RunRecord => recordOf(positionAt(share).run, read.source);

function pageOf(fromShare: number, toShare: number, remarks = ''): HandoverPage {
  const { run, plan } = positionAt(toShare);
  const before = fromShare > 0 ? recordAt(fromShare) : null;
  const now = recordOf(run, read.source);
  const worked = entries.slice(0, run.journal.entries.length);
  const begin = before ? Date.parse(before.source.to) + 1 : fromMs;
  return handoverPage({
    period: { fromMs: begin, since: before ? 'the last handover' : 'the start of the run', number: 1, remarks },
    toMs: run.lastMs + 1,
    before,
    now,
    plan,
    entries: worked,
    finish: finishNow(run),
    offsetMs: 3600_000,
  });
}

describe('the page', () => {
  it('of the whole run says what its record says', () => {
    const page = pageOf(0, 1, 'pump 2 is slow');
    const record = recordAt(1);
    expect(z.safeParse(handoverPageSchema, page).error).toBeUndefined();
    const expanded = record.joints.reduce((sum, joint) => sum + joint.expanded, 0);
    expect(page.done.length).toBeCloseTo(expanded, 2);
    expect(page.done.inAll.length).toBeCloseTo(expanded, 2);
    const done = record.joints.filter(({ verdict }) => verdict === 'expanded').map(({ name }) => name);
    expect(page.done.joints.filter(({ verdict }) => verdict === 'expanded').map(({ name }) => name)).toEqual(done);
    expect(page.done.inAll.joints).toBe(done.length);
    expect(page.done.standsMs / 60_000).toBeCloseTo(record.minutes['making connection']!, 1);
    const stood = (record.minutes.stalled ?? 0) + (record.minutes.waiting ?? 0) + (record.minutes['no data'] ?? 0);
    expect(page.stoppedMs / 60_000).toBeCloseTo(stood, 1);
    expect(page.rigTo).toMatch(/\+01:00$/);
    expect(page.limits).toContain(`recipes.screen.pressure.min = ${read.course.plan.recipes.screen!.pressure!.min}`);
    expect(page.remarks).toBe('pump 2 is slow');
    expect(page.depth).toEqual(record.depth);
    expect(page.next.toDecide).toEqual(
      record.joints
        .filter(({ verdict, decision }) => ['short', 'unproven'].includes(verdict) && !decision)
        .map(({ name }) => name),
    );
  });

  it('periods one behind the other add up to the whole, and nobody’s work is in two', () => {
    const whole = pageOf(0, 1);
    const parts = [pageOf(0, 0.3), pageOf(0.3, 0.65), pageOf(0.65, 1)];
    const sum = (of: (page: HandoverPage) => number) => parts.reduce((all, page) => all + of(page), 0);
    expect(sum((page) => page.done.length)).toBeCloseTo(whole.done.length, 1);
    expect(parts.flatMap((page) => page.entries)).toHaveLength(whole.entries.length);
    // What is settled later is dated back: a phase may begin before the handover that did not know it.
    expect(Math.abs(sum((page) => page.stoppedMs) - whole.stoppedMs)).toBeLessThan(60_000);
    expect(parts[1]!.from).toBe(parts[0]!.to);
    const finished = parts.map((page) =>
      page.done.joints.filter((one) => one.verdict === 'expanded' && one.before !== 'expanded'),
    );
    expect(finished.flat()).toHaveLength(whole.done.joints.filter(({ verdict }) => verdict === 'expanded').length);
  });

  it('what stopped the work comes with its cause and its events, what is short is not worked out as next', () => {
    const page = pageOf(0, 1);
    const stall = page.stops.find(({ activity }) => activity === 'stalled')!;
    expect(stall.events).toContain('stall');
    expect(stall.ms).toBeGreaterThanOrEqual(60_000);
    const coded: JournalEntry = {
      at: stall.to,
      by: 'A',
      action: 'time code',
      from: stall.from,
      to: stall.to,
      code: 'TOOL',
      reason: 'torque',
    };
    const { run, plan } = positionAt(1);
    const again = handoverPage({
      period: { fromMs, since: 'the start of the run', number: 1, remarks: '' },
      toMs: run.lastMs + 1,
      before: null,
      now: recordOf(run, read.source),
      plan,
      entries: [...entries, coded],
      finish: finishNow(run),
      offsetMs: 0,
    });
    expect(again.stops.find(({ from }) => from === stall.from)!.lost).toEqual({
      code: 'TOOL',
      reason: 'torque',
      by: 'A',
    });
    expect(page.next.jointsLeft).toBe(0);
  });

  it('in the midst of the trip it says what comes next, and when it will be done', () => {
    const page = pageOf(0, 0.5);
    const record = recordAt(0.5);
    const open = record.joints.filter(({ verdict }) => ['in progress', 'not reached'].includes(verdict));
    expect(page.next.jointsLeft).toBe(open.length);
    expect(open.map(({ name }) => name)).toContain(page.next.joint!.name);
    expect(Date.parse(page.next.tripDone!.from)).toBeGreaterThan(Date.parse(page.to) - 1);
    expect(Date.parse(page.next.tripDone!.to)).toBeGreaterThan(Date.parse(page.next.tripDone!.from));
  });

  it('sensors that misbehaved are counted within the period', () => {
    const gaps = recordAt(1).events.filter(({ kind }) => kind === 'data gap');
    expect(gaps.length).toBeGreaterThan(0);
    const sensors = pageOf(0, 1).sensors.find(({ kind }) => kind === 'data gap')!;
    expect(sensors.times).toBe(gaps.length);
    const ms = gaps.reduce((sum, { from, to }) => sum + Date.parse(to!) - Date.parse(from), 0);
    expect(Math.abs(sensors.ms - ms)).toBeLessThanOrEqual(gaps.length);
  });

  it('is bounded, and says what found no room', () => {
    const { run, plan } = positionAt(1);
    const now = recordOf(run, read.source);
    now.events = Array.from({ length: HANDOVER_ROWS + 7 }, (_, i) => ({ ...now.events[0]!, detail: `${i}`, to: null }));
    const page = handoverPage({
      period: { fromMs, since: 'the start of the run', number: 1, remarks: '' },
      toMs: run.lastMs + 1,
      before: null,
      now,
      plan,
      entries,
      finish: finishNow(run),
      offsetMs: 0,
    });
    expect(page.events).toHaveLength(HANDOVER_ROWS);
    expect(page.events.at(-1)!.detail).toBe(`${HANDOVER_ROWS + 6}`);
    expect(page.leftOut).toEqual({ events: 7 });
  });
});

describe('the period that is open', () => {
  const HOUR = 3600_000;
  const at = (hours: number): string => new Date(hours * HOUR).toISOString();
  const closed = (hours: number, number: number): JournalEntry => ({
    at: at(hours),
    by: 'A',
    action: 'handover',
    number,
    from: at(hours - 12),
    to: at(hours),
    page: {},
  });
  const remark = (text: string, handover?: number): JournalEntry => ({
    at: at(1),
    by: 'A',
    action: 'handover remarks',
    text,
    ...(handover === undefined ? {} : { handover }),
  });

  it.each<[string, JournalEntry[], number, object]>([
    ['a young run', [], 5, { fromMs: HOUR, since: 'the start of the run', number: 1, remarks: '' }],
    ['a run without a handover', [], 20, { fromMs: 8 * HOUR, since: 'twelve hours', number: 1, remarks: '' }],
    [
      'since the last',
      [closed(3, 1), closed(9, 2)],
      40,
      { fromMs: 9 * HOUR, since: 'the last handover', number: 3, remarks: '' },
    ],
    [
      'the remarks that were said last',
      [remark('a'), remark('b'), remark('c', 1)],
      5,
      { fromMs: HOUR, since: 'the start of the run', number: 1, remarks: 'b' },
    ],
    [
      'not those of the period before',
      [remark('a'), closed(3, 1)],
      5,
      { fromMs: 3 * HOUR, since: 'the last handover', number: 2, remarks: '' },
    ],
  ])('%s', (_what, journal, hours, expected) => {
    expect(openPeriod(journal, HOUR, hours * HOUR)).toEqual(expected);
  });
});

it('every event that counts as a sensor’s is one that there is', () => {
  for (const kind of SENSOR_EVENTS) expect(EVENT_NAMES).toContain(kind);
});
