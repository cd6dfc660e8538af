/** One record, however it was come by: in one go, live, step by step, sought, or from a copy half-way. */
import * as fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { createJournalFeed } from '../../../server/live/journalFeed.ts';
import { advance, createRun, type Run } from '../../../src/pipeline/run.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { recordOf } from '../../../src/record/record.ts';
import { copyRun } from '../../../src/replay/copyRun.ts';
import { type Course, startOf, workTo, workWhole } from '../../../src/replay/course.ts';
import { knownNow } from '../../../src/replay/knownNow.ts';
import {
  COPY_EVERY,
  changedSince,
  createPlayer,
  extendPlayer,
  seek,
  shownOf,
  stepBy,
  told,
} from '../../../src/replay/player.ts';
import { busyJournal, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';

let demo: ReadCourse;
let course: Course;
/** The record of the whole run, as `analyse` and the live service come by it. */
let expected: string;
const textOf = (run: Run): string => JSON.stringify(recordOf(run, demo.source));

/** The run as the live service advances it, up to an instant. */
function liveRun(untilMs: number): Run {
  const run = createRun(compileJob(course.plan));
  const feed = createJournalFeed(
    course.entries.filter(({ at }) => Date.parse(at) <= untilMs),
    (input) => advance(run, input),
  );
  for (const sample of demo.samples) if (sample.sourceMs <= untilMs) feed.sample({ ...sample });
  feed.end();
  return run;
}

let firstMs: number;
let lastMs: number;
beforeAll(async () => {
  demo = await demoCourse();
  firstMs = demo.samples[0]!.sourceMs;
  lastMs = demo.samples.at(-1)!.sourceMs;
  course = { ...demo.course, entries: busyJournal(demo.course.plan, firstMs, lastMs - firstMs, 2425.5) };
  expected = textOf(liveRun(Infinity));
});

test('the journal did something, else the rest would prove little', () => {
  const { run } = workWhole(course);
  expect(run.journal.entries).toHaveLength(6);
  expect(run.correctionM).not.toBe(0);
  expect(run.job.recipes.screen!.rpmMin).toBe(20);
});

describe('one record', () => {
  test('counted in one go, and live', () => {
    expect(textOf(workWhole(course).run)).toBe(expected);
  });

  test('stepped sample by sample', () => {
    const player = createPlayer(course);
    for (let row = 0; row < course.samples.rows; row += 1) stepBy(player, 1);
    expect(textOf(seek(player, Infinity))).toBe(expected);
  });

  test('sought to and fro, and then to the end', () => {
    const player = createPlayer(course);
    fc.assert(
      fc.property(fc.array(fc.double({ min: -0.1, max: 1.2, noNaN: true }), { maxLength: 6 }), (shares) => {
        for (const share of shares) seek(player, firstMs + share * (lastMs - firstMs));
        expect(textOf(seek(player, Infinity))).toBe(expected);
      }),
      { numRuns: 10 },
    );
  });

  test('from a copy anywhere, while the run that was copied goes on elsewhere', () => {
    fc.assert(
      fc.property(fc.nat(course.samples.rows), (row) => {
        const first = startOf(course);
        workTo(course, first, row, -Infinity);
        const copy = { ...first, run: copyRun(first.run) };
        expect(copy.run).toEqual(first.run);
        workTo(course, first, course.samples.rows, Infinity);
        expect(textOf(first.run)).toBe(expected);
        workTo(course, copy, course.samples.rows, Infinity);
        expect(textOf(copy.run)).toBe(expected);
      }),
      { numRuns: 8 },
    );
  });

  test('of a run that grows while it is played', () => {
    const rows = course.samples.rows;
    const half = { ...course.samples, rows: Math.floor(rows / 2) };
    const halfMs = half.sourceMs[half.rows - 1]!;
    const player = createPlayer({
      ...course,
      samples: half,
      entries: course.entries.filter(({ at }) => Date.parse(at) <= halfMs),
    });
    seek(player, Infinity);
    half.rows = rows;
    extendPlayer(player, course.entries);
    expect(textOf(seek(player, Infinity))).toBe(expected);
  });
});

test('what is shown at an instant is what was shown then', () => {
  const player = createPlayer(course);
  fc.assert(
    fc.property(fc.double({ min: 0, max: 1.6, noNaN: true }), (share) => {
      const ms = firstMs + share * (lastMs - firstMs);
      seek(player, ms);
      const live = liveRun(ms);
      expect(textOf(player.at.run)).toBe(textOf(live));
      const now = shownOf({ ...player.at, run: live });
      if (now.now) now.now = { ...now.now, arrivalMs: now.now.sourceMs };
      const shown = shownOf(player.at);
      if (shown.now) shown.now = { ...shown.now, arrivalMs: shown.now.sourceMs };
      expect(shown).toEqual(now);
    }),
    { numRuns: 25 },
  );
});

test('a step back and a step on lead to the same screen, and the ends hold', () => {
  const player = createPlayer(course);
  seek(player, firstMs + (lastMs - firstMs) * 0.6);
  const shown = JSON.stringify(shownOf(player.at));
  const { row } = player.at;
  stepBy(player, -5);
  expect(player.at.row).toBe(row - 5);
  expect(JSON.stringify(shownOf(player.at))).not.toBe(shown);
  stepBy(player, 5);
  expect(JSON.stringify(shownOf(player.at))).toBe(shown);
  stepBy(player, -1e9);
  expect(player.at.row).toBe(1);
  stepBy(player, 1e9);
  expect(player.at.row).toBe(course.samples.rows);
});

test('copies are few and are found again', () => {
  const player = createPlayer(course);
  seek(player, Infinity);
  expect(player.copies.map(({ row }) => row)).toEqual(
    Array.from({ length: 1 + Math.floor(course.samples.rows / COPY_EVERY) }, (_, i) => i * COPY_EVERY),
  );
});

test('what has changed, added to what was told, is what is shown', () => {
  const player = createPlayer(course);
  seek(player, firstMs);
  const shown = shownOf(player.at);
  let known = told(player.at);
  let deltas = 0;
  for (let ms = firstMs; ms < lastMs; ms += 61_000) {
    seek(player, ms);
    const changed = changedSince(known, player.at);
    known = told(player.at);
    if (changed) {
      deltas += 1;
      const { joints = [], ...rest } = changed;
      Object.assign(shown, rest);
      for (const joint of joints) shown.joints[joint.index] = joint;
    } else Object.assign(shown, shownOf(player.at));
    const fresh = shownOf(player.at);
    // 1σ of a joint wavers with the depth's; it is told when something else of the joint changes.
    const still = ({ sigmaM: _s, couldBe: _c, ...joint }: (typeof shown.joints)[number]) => joint;
    expect({ ...shown, joints: shown.joints.map(still) }).toEqual({ ...fresh, joints: fresh.joints.map(still) });
  }
  expect(deltas).toBeGreaterThan(50);
});

test('with what is known now: the last plan and the last depth from the first sample on', () => {
  const known = knownNow(course);
  const end = workWhole(course);
  const player = createPlayer(known);
  seek(player, firstMs + 60_000);
  expect(player.at.run.correctionM).toBe(end.run.correctionM);
  expect(player.at.run.job.recipes.screen!.rpmMin).toBe(20);
  const seen = createPlayer(course);
  seek(seen, firstMs + 60_000);
  expect(seen.at.run.correctionM).toBe(0);
  expect(seen.at.run.job.recipes.screen!.rpmMin).not.toBe(20);
  expect(seek(player, Infinity).journal.entries.map(({ action }) => action)).toEqual([
    'note',
    'acknowledge',
    'accept',
    'note',
  ]);
});
