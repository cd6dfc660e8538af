import { beforeAll, expect, test } from 'vitest';
import { nowOf } from '../../../src/pipeline/view.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { PASS_COLUMNS, passesBetween, passesOf } from '../../../src/replay/passes.ts';
import { createPlayer, seek } from '../../../src/replay/player.ts';
import { noRows, playThrough, type ShownRows } from '../../../src/replay/shownRows.ts';
import { courseOf, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';
import { withIncident } from '../../support/trips.ts';

let demo: ReadCourse;
let shown: ShownRows;
beforeAll(async () => {
  demo = await demoCourse();
  shown = noRows();
  playThrough(createPlayer(demo.course), shown);
});

test('each joint that was rolled has a pass over nearly all of it, and one that was repaired has more than one', () => {
  const job = compileJob(demo.course.plan);
  for (const joint of job.joints.filter(({ recipe }) => recipe)) {
    const passes = passesOf({ samples: demo.course.samples, shown, job }, joint.index);
    const all = passes.flatMap(({ depth }) => [...depth]);
    expect(Math.min(...all), joint.name).toBeLessThan(joint.from + 0.1);
    expect(Math.max(...all), joint.name).toBeGreaterThan(joint.to - 0.1);
    for (const [i, { depth, tool, fromMs, toMs, isLast, ...columns }] of passes.entries()) {
      expect([columns.joint, isLast]).toEqual([joint.index, i === passes.length - 1]);
      expect(joint.recipe!.tools).toContain(tool);
      expect(toMs).toBeGreaterThan(fromMs);
      for (const name of PASS_COLUMNS) expect(columns[name]).toHaveLength(depth.length);
      // A pass goes down: what is lifted is not part of it.
      expect(depth[depth.length - 1]).toBeCloseTo(Math.max(...depth), 1);
      expect([...depth].every((one) => one >= joint.top - 0.001 && one <= joint.bottom + 0.001)).toBe(true);
    }
  }
});

test('what is rolled again is a pass of its own', () => {
  const job = compileJob(demo.course.plan);
  // The demo run goes over part of S2 again to repair it.
  const [first, second] = passesOf(
    { samples: demo.course.samples, shown, job },
    job.joints.findIndex(({ name }) => name === 'S2'),
  );
  expect(second!.depth[0]).toBeLessThan(first!.depth[first!.depth.length - 1]! - 1.5);
});

test('readings stand at the depth at which they were read', () => {
  const { plan, bytes } = withIncident(3, 'low pressure');
  const { course } = courseOf(plan, bytes);
  const shownThere = noRows();
  playThrough(createPlayer(course), shownThere);
  const job = compileJob(plan);
  const joint = job.joints.find(({ name }) => name === 'S1')!;
  // At the ends of the joint the pressure comes up and goes off: what is looked at lies well inside.
  const low = passesOf({ samples: course.samples, shown: shownThere, job }, joint.index).flatMap(
    ({ depth, pressure }) =>
      [...depth].filter(
        (at, i) => at > joint.from + 1 && at < joint.to - 1 && pressure[i]! > 3000 && pressure[i]! < 7400,
      ),
  );
  // The scenario keeps it too low for two metres, six metres into the joint.
  expect(Math.max(...low) - Math.min(...low)).toBeGreaterThan(1.8);
  expect(Math.max(...low) - Math.min(...low)).toBeLessThan(2.2);
  expect(Math.min(...low)).toBeGreaterThan(joint.top + 5.9);
  expect(Math.max(...low)).toBeLessThan(joint.bottom);
});

test('a run that never came to a joint has no pass of it', () => {
  const job = compileJob(demo.course.plan);
  const { samples } = demo.course;
  expect(passesOf({ samples: { ...samples, rows: 100 }, shown, job }, job.joints.length - 1)).toEqual([]);
});

test('feed and set-down stand beside what was read, and a range takes every joint in it', () => {
  const job = compileJob(demo.course.plan);
  const of = { samples: demo.course.samples, shown, job };
  const rolled = job.joints.filter(({ recipe }) => recipe);
  const [s1, s3] = ['S1', 'S3'].map((name) => job.joints.find((joint) => joint.name === name)!);
  const some = passesBetween(of, s1!.top, s3!.bottom);
  expect([...new Set(some.map(({ joint }) => job.joints[joint]!.name))]).toEqual(['S1', 'S2', 'S3']);
  expect(some.filter(({ isLast }) => isLast)).toHaveLength(3);
  const all = passesBetween(of, 0, Infinity);
  expect([...new Set(all.map(({ joint }) => joint))]).toEqual(rolled.map(({ index }) => index));
  // What stands at the beginning of a pass is what was shown at that instant.
  const player = createPlayer(demo.course);
  for (const { fromMs, feed, setDown, depth, tool } of all) {
    const now = nowOf(seek(player, fromMs))!;
    expect(feed[0]).toBeCloseTo(now.feed ?? Number.NaN, 5);
    expect(setDown[0]).toBeCloseTo(now.setDown ?? Number.NaN, 3);
    expect(depth[0]).toBeCloseTo(now.toolDepths[tool]!, 3);
  }
  expect(all.some(({ setDown }) => setDown.some((value) => value > 5))).toBe(true);
});
