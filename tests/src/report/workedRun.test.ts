import { beforeAll, expect, test } from 'vitest';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import { addSample, createSampleColumns } from '../../../src/replay/sampleColumns.ts';
import { countCourse } from '../../../src/replay/whatIf.ts';
import { startWorking, workedRun, workOn } from '../../../src/report/workedRun.ts';
import { busyJournal, courseOf, type ReadCourse } from '../../support/demoCourse.ts';
import { withIncident } from '../../support/trips.ts';

let read: ReadCourse;
let entries: JournalEntry[];
beforeAll(() => {
  const { plan, bytes } = withIncident(5, 'low pressure');
  read = courseOf(plan, bytes);
  const { samples } = read.course;
  const fromMs = samples.sourceMs[0]!;
  entries = busyJournal(plan, fromMs, samples.sourceMs[samples.rows - 1]! - fromMs, 2421);
});

test('worked in turns it is the run that is counted at once, to the byte', () => {
  const course = { ...read.course, entries };
  const { position } = workedRun(course);
  expect(JSON.stringify(recordOf(position.run, read.source))).toBe(
    JSON.stringify(countCourse(course, read.source).record),
  );
});

test('it goes on with what came since: samples and entries', () => {
  const samples = createSampleColumns();
  const half = Math.floor(read.samples.length / 2);
  const before = (ms: number): JournalEntry[] => entries.filter(({ at }) => Date.parse(at) <= ms);
  for (const sample of read.samples.slice(0, half)) addSample(samples, sample);
  const course = (): typeof read.course => ({
    ...read.course,
    samples,
    entries: before(read.samples[samples.rows - 1]!.sourceMs),
  });
  const worked = startWorking(course());
  for (const _ of workOn(worked, course()));
  for (const sample of read.samples.slice(half)) addSample(samples, sample);
  for (const _ of workOn(worked, { ...course(), entries }));
  const whole = workedRun({ ...read.course, entries });
  expect(JSON.stringify(recordOf(worked.position.run, read.source))).toBe(
    JSON.stringify(recordOf(whole.position.run, read.source)),
  );
  const { rows } = read.course.samples;
  for (const name of ['depth', 'feed', 'setDown', 'toolPressure', 'feedPerTurn'] as const) {
    expect(worked.columns[name].subarray(0, rows)).toEqual(whole.columns[name].subarray(0, rows));
  }
  expect(worked.corrections).toEqual(whole.corrections);
});

test('each correction with the old one, the new one and its entry; each plan with the entry that brought it in', () => {
  const at = (ms: number): string => new Date(ms).toISOString();
  const first = read.course.samples.sourceMs[0]!;
  const set = (ms: number, depth: number): JournalEntry => ({
    at: at(ms),
    by: 'a',
    action: 'set depth',
    tool: 'upper',
    depth,
  });
  const { plan } = read.course;
  const changed: JournalEntry = {
    at: at(first + 900_500),
    by: 'b',
    action: 'change plan',
    plan: structuredClone(plan),
  };
  const note: JournalEntry = { at: at(first + 100_000), by: 'c', action: 'note', text: 'x' };
  const all = [set(first - 60_000, 2400), note, set(first + 600_001, 2401), set(first + 600_002, 2402), changed];
  const { corrections, versions } = workedRun({ ...read.course, entries: all });
  expect(corrections.map(({ entry, atMs }) => [entry, atMs])).toEqual([
    [0, first - 60_000],
    [2, first + 600_001],
    [3, first + 600_002],
  ]);
  expect(corrections[0]!.before).toBe(0);
  expect(corrections[1]!.before).toBe(corrections[0]!.after);
  expect(corrections[2]!.after - corrections[2]!.before).toBeCloseTo(1, 6);
  expect(versions.map(({ entry }) => entry)).toEqual([null, 4]);
  expect(versions[1]!.fromMs).toBe(first + 900_500);
});
