import { beforeAll, expect, test } from 'vitest';
import { compileJob } from '../../../src/plan/job.ts';
import { noDepths, playThrough, type ShownDepths } from '../../../src/replay/overview.ts';
import { passesOf } from '../../../src/replay/passes.ts';
import { createPlayer } from '../../../src/replay/player.ts';
import { courseOf, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';
import { withIncident } from '../../support/trips.ts';

let demo: ReadCourse;
let depths: ShownDepths;
beforeAll(async () => {
  demo = await demoCourse();
  depths = noDepths();
  playThrough(createPlayer(demo.course), depths);
});

test('each joint that was rolled has a pass over nearly all of it, and one that was repaired has more than one', () => {
  const job = compileJob(demo.course.plan);
  for (const joint of job.joints.filter(({ recipe }) => recipe)) {
    const passes = passesOf(demo.course.samples, depths.depths, job, joint.index);
    const all = passes.flatMap(({ depth }) => [...depth]);
    expect(Math.min(...all), joint.name).toBeLessThan(joint.from + 0.1);
    expect(Math.max(...all), joint.name).toBeGreaterThan(joint.to - 0.1);
    for (const { depth, pressure, rotation, torque, tool, fromMs, toMs } of passes) {
      expect(joint.recipe!.tools).toContain(tool);
      expect(toMs).toBeGreaterThan(fromMs);
      expect([pressure.length, rotation.length, torque.length]).toEqual([depth.length, depth.length, depth.length]);
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
    demo.course.samples,
    depths.depths,
    job,
    job.joints.findIndex(({ name }) => name === 'S2'),
  );
  expect(second!.depth[0]).toBeLessThan(first!.depth[first!.depth.length - 1]! - 1.5);
});

test('readings stand at the depth at which they were read', () => {
  const { plan, bytes } = withIncident(3, 'low pressure');
  const { course } = courseOf(plan, bytes);
  const shown = noDepths();
  playThrough(createPlayer(course), shown);
  const job = compileJob(plan);
  const joint = job.joints.find(({ name }) => name === 'S1')!;
  // At the ends of the joint the pressure comes up and goes off: what is looked at lies well inside.
  const low = passesOf(course.samples, shown.depths, job, joint.index).flatMap(({ depth, pressure }) =>
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
  expect(passesOf({ ...samples, rows: 100 }, depths.depths, job, job.joints.length - 1)).toEqual([]);
});
