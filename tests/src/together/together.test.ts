import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod/mini';
import { readCaliperLog } from '../../../src/engineering/caliperLog.ts';
import { compileJob } from '../../../src/plan/job.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import type { RecordJoint, RunRecord } from '../../../src/record/recordSchema.ts';
import { workWhole } from '../../../src/replay/course.ts';
import { MEASURE_NAMES, measuresOf } from '../../../src/together/measures.ts';
import { holeClasses, LEAST_JOINTS, type RunBeside, together } from '../../../src/together/together.ts';
import { TOGETHER_LIMITS, togetherSchema } from '../../../src/together/togetherSchema.ts';
import { demoCourse } from '../../support/demoCourse.ts';

let demo: RunRecord;
let plan: Plan;
beforeAll(async () => {
  const { course, source } = await demoCourse();
  demo = recordOf(workWhole(course).run, source);
  plan = course.plan;
});

const screenOf = (record: RunRecord): RecordJoint => record.joints.find(({ kind }) => kind === 'screen')!;

/** Screens of these mean feeds, m/min, each in a zone. */
function runOf(id: string, feeds: readonly number[], more: Partial<RecordJoint> = {}): RunBeside {
  const like = { ...screenOf(demo), gaps: [], stalls: 0, coverage: 1, verdict: 'expanded' as const };
  const joints = feeds.map((mean, i) => ({
    ...like,
    name: `S${i + 1}`,
    zone: i % 2 === 0 ? 'A' : 'B',
    feed: { mean },
    ...more,
  }));
  return { id, name: `run ${id}`, record: { ...demo, joints, phases: [], events: [] }, holes: new Map() };
}

describe('the joint that is unlike its kind', () => {
  it('is named with what, how far and why, over several runs', () => {
    const found = together([runOf('a', [1.1, 1.2, 1.15, 1.1]), runOf('b', [1.2, 1.12, 1.9, 1.18])]);
    expect(found.odd.map(({ run, joint, measure }) => [run, joint, measure])).toEqual([['b', 'S3', 'feed']]);
    expect(found.odd[0]).toMatchObject({ value: 1.9, count: 8, kind: 'screen' });
    expect(found.odd[0]!.median).toBeCloseTo(1.165, 9);
    // By hand: deviations from 1.165 are .065 .035 .015 .065 .035 .045 .735 .015, their median .04.
    expect(found.odd[0]!.score).toBeCloseTo((0.6745 * 0.735) / 0.04, 6);
    expect(found.odd[0]!.why).toBe('mean feed 1.90 m/min, above the 1.17 m/min that is usual of 8 screen joints');
    expect(z.safeParse(togetherSchema, found).error).toBeUndefined();
  });

  it('is not one that differs by what matters to nobody, nor one of a few', () => {
    expect(together([runOf('a', [1.2, 1.2, 1.2, 1.2, 1.2, 1.25])]).odd).toEqual([]);
    expect(together([runOf('a', [1.2, 1.2, 1.2, 1.25, 1.2, 1.35])]).odd).toHaveLength(1);
    expect(together([runOf('a', [1.1, 1.2, 1.15, 9])]).odd).toEqual([]);
    expect(LEAST_JOINTS).toBe(5);
  });

  it('is sought among its own kind only', () => {
    const isolation = runOf('b', [0.4, 0.41, 0.42], { kind: 'isolation' });
    expect(together([runOf('a', [1.1, 1.2, 1.15, 1.1, 1.2]), isolation]).odd).toEqual([]);
  });
});

describe('groups', () => {
  it('by kind, zone and run, with median and spread of each measure: by hand', () => {
    const { groups, runs } = together([runOf('a', [1, 2, 3]), runOf('b', [5, 6])]);
    expect(groups.map(({ by, name, joints }) => [by, name, joints])).toEqual([
      ['kind', 'screen', 5],
      ['zone', 'A', 3],
      ['zone', 'B', 2],
      ['run', 'a', 3],
      ['run', 'b', 2],
    ]);
    expect(groups[0]!.spreads.feed).toEqual({ count: 5, median: 3, sigma: 2 * 1.4826022185056018, least: 1, most: 6 });
    expect(runs.map(({ id, joints, expanded }) => [id, joints, expanded])).toEqual([
      ['a', 3, 3],
      ['b', 2, 2],
    ]);
  });

  it('by what the hole is along them, where a caliper log is known', () => {
    const log = readFileSync('replay-data/demo-caliper.csv', 'utf8');
    const holes = holeClasses(compileJob(plan), readCaliperLog(log, { file: 'log.csv', nulls: [] }));
    // As the log's own notes say: tight in S3, washed out at Z2.
    expect([holes.get('S3'), holes.get('Z2'), holes.get('S1')]).toEqual(['tight', 'over gauge', 'in gauge']);
    expect(new Set(holes.values())).toContain('in gauge');
    const { groups, joints } = together([{ id: 'a', name: 'a', record: demo, holes }]);
    const parted = groups.filter(({ by }) => by === 'caliper');
    expect(parted.map(({ name }) => name)).toContain('tight');
    const swept = joints.filter(({ caliper }) => caliper !== null);
    expect(parted.reduce((sum, group) => sum + group.joints, 0)).toBe(swept.length);
    expect(holeClasses(compileJob(plan), undefined).size).toBe(0);
  });
});

describe('measures', () => {
  it('of the demo are those of its record', () => {
    for (const joint of demo.joints.filter(({ feed }) => feed !== null)) {
      const values = measuresOf(joint, demo);
      expect(values).toMatchObject({ feed: joint.feed!.mean, coverage: joint.coverage, stalls: joint.stalls });
      expect(Object.keys(values)).toEqual([...MEASURE_NAMES]);
    }
    const connections = demo.joints.map((joint) => measuresOf(joint, demo).connectionMinutes!);
    const within = connections.reduce((sum, minutes) => sum + minutes, 0);
    expect(within).toBeGreaterThan(0);
    expect(within).toBeLessThanOrEqual(demo.minutes['making connection']! + 0.01);
    const low = demo.joints.flatMap(({ gaps }) => gaps.filter(({ cause }) => cause === 'low pressure'));
    const metres = demo.joints.reduce((sum, joint) => sum + measuresOf(joint, demo).lowPressure!, 0);
    expect(metres).toBeCloseTo(
      low.reduce((sum, { from, to }) => sum + to - from, 0),
      6,
    );
    const event = demo.events.find(({ kind }) => kind === 'low pressure')!;
    const own = demo.joints.find(({ name }) => name === event.joint)!;
    const minutes = (Date.parse(event.to!) - Date.parse(event.from)) / 60_000;
    // It was made good by a second pass, and still took its time.
    expect([measuresOf(own, demo).lowPressure, measuresOf(own, demo).lowPressureMinutes]).toEqual([0, minutes]);
  });

  it('of a run in field units are laid beside metric ones', () => {
    const joint = screenOf(demo);
    const field: RunRecord = { ...demo, units: 'field', phases: [] };
    const values = measuresOf(
      { ...joint, feed: { mean: 3.280839895 }, gaps: [{ from: 100, to: 110, cause: 'low pressure' }] },
      field,
    );
    expect(values.feed).toBeCloseTo(1, 6);
    expect(values.lowPressure).toBeCloseTo(3.048, 9);
  });
});

it('joints that nothing has swept are not compared, and answers are bounded', () => {
  expect(together([runOf('a', [1, 1, 1], { passes: 0, feed: null, verdict: 'not reached' })]).joints).toEqual([]);
  const many = Array.from({ length: TOGETHER_LIMITS.joints + 3 }, (_, i) => (i % 20 === 0 ? 9 : 1 + (i % 7) / 10));
  const found = together([runOf('a', many)]);
  expect([found.joints.length, found.jointsLeftOut]).toEqual([TOGETHER_LIMITS.joints, 3]);
  expect(found.odd).toHaveLength(TOGETHER_LIMITS.odd);
  expect(found.oddLeftOut).toBe(Math.ceil(many.length / 20) - TOGETHER_LIMITS.odd);
});
