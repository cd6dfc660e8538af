/** Which of two tools is at work on which joint. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addInterval, firstOutside } from '../../../src/intervals.ts';
import { createJointTally, type JointTally } from '../../../src/pipeline/jointTally.ts';
import type { Pressures } from '../../../src/pipeline/judgedPressure.ts';
import {
  createWork,
  findFocus,
  findWork,
  isAtOpenEdge,
  isIntended,
  isWorkLeft,
  jointAt,
  type Work,
} from '../../../src/pipeline/work.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';

/** The tools stand 4 m apart; so do the joints that they can be in at once. */
const PLAN = planSchema.parse({
  format: 'jointwise-plan/1',
  units: 'metric',
  liner: {
    top: 1000,
    joints: [
      { name: 'Z1', kind: 'isolation', length: 6, expandFrom: 0.5, expandTo: 5.5 },
      { name: 'S1', kind: 'screen', length: 10, expandFrom: 0.5, expandTo: 9.5 },
      { name: 'B1', kind: 'blank', length: 8 },
      { name: 'S2', kind: 'screen', length: 10, expandFrom: 0.5, expandTo: 9.5 },
    ],
  },
  tools: [
    { name: 'upper', offset: 5 },
    { name: 'lower', offset: 1 },
  ],
  recipes: {
    isolation: { tools: ['upper'], pressure: { min: 16000, max: 22000 }, rpm: { min: 15 } },
    screen: { tools: ['lower'], pressure: { min: 7500, max: 11000 }, rpm: { min: 15 } },
  },
});
const JOB = compileJob(PLAN);

interface Scene {
  end: number;
  pressure: number;
  rpm?: number;
  done?: [joint: string, from: number, to: number][];
  work?: Work;
}

function talliesOf(done: Scene['done'] = []): JointTally[] {
  const tallies = JOB.joints.map(() => createJointTally(2));
  for (const [name, from, to] of done)
    addInterval(tallies[JOB.joints.findIndex((j) => j.name === name)]!.expanded, from, to);
  return tallies;
}
const atStandpipe = (kPa: number): Pressures => ({ standpipe: kPa, tool: Number.NaN });
const depthsAt = (end: number): number[] => JOB.tools.map((tool) => end - tool.offsetM);

function at(scene: Scene): string {
  const work = scene.work ?? createWork();
  findWork(work, 0, JOB, talliesOf(scene.done), depthsAt(scene.end), atStandpipe(scene.pressure), scene.rpm ?? 30);
  return work.joint < 0 ? '-' : `${JOB.tools[work.tool]!.name} on ${JOB.joints[work.joint]!.name}`;
}

describe('one tool in a joint of its own', () => {
  // upper at 1002 in Z1, lower at 1006 on the thread between Z1 and S1
  it('works at its pressure', () => expect(at({ end: 1007, pressure: 18000 })).toBe('upper on Z1'));
  it('works below its pressure while somebody means to: that is low pressure', () =>
    expect(at({ end: 1006, pressure: 12000 })).toBe('upper on Z1'));
  it('does not work without pumps and rotation', () => expect(at({ end: 1007, pressure: 300, rpm: 0 })).toBe('-'));
  it('does not work off the part to be expanded', () => expect(at({ end: 1005.3, pressure: 18000 })).toBe('-'));
  it('does not work on the other kind of joint', () => expect(at({ end: 1004, pressure: 18000 })).toBe('-'));
});

describe('both tools in joints of their own', () => {
  // upper at 1004 in Z1, lower at 1008 in S1
  it('the high pressure is on the upper one', () => expect(at({ end: 1009, pressure: 18000 })).toBe('upper on Z1'));
  it('the low pressure is on the lower one', () => expect(at({ end: 1009, pressure: 9000 })).toBe('lower on S1'));
  it('at the low pressure the lower one works although the upper one has open ground', () =>
    expect(at({ end: 1009, pressure: 9000, done: [['Z1', 1000.5, 1002]] })).toBe('lower on S1'));
  it('a pressure between the windows, on its way up, is not high pressure on the screen', () =>
    expect(at({ end: 1009, pressure: 14000 })).not.toBe('lower on S1'));
  it('once the isolation joint is done, low pressure work goes to the screen', () =>
    expect(at({ end: 1009, pressure: 9000, done: [['Z1', 1000.5, 1005.5]] })).toBe('lower on S1'));
});

describe('ground that is done', () => {
  it('is at work again only at full pressure', () => {
    const done: Scene['done'] = [['S2', 1024.5, 1033.5]];
    expect(at({ end: 1030, pressure: 9000, done })).toBe('lower on S2');
    expect(at({ end: 1030, pressure: 6000, done })).toBe('-');
  });

  it('stays at work at falling pressure where the tool was rolling', () => {
    const work = createWork();
    work.rolling = 3;
    expect(at({ end: 1030, pressure: 6000, done: [['S2', 1024.5, 1033.5]], work })).toBe('lower on S2');
  });

  it('is told from new ground', () => {
    const work = createWork();
    const tallies = talliesOf([['S2', 1024.5, 1029]]);
    findWork(work, 0, JOB, tallies, depthsAt(1028), atStandpipe(9000), 30);
    expect(work.newGround).toBe(false);
    findWork(work, 0, JOB, tallies, depthsAt(1031), atStandpipe(9000), 30);
    expect(work.newGround).toBe(true);
  });
});

describe('where and what next', () => {
  it('finds the joint at a depth, tops inside, the bottom of the liner not', () => {
    expect([999.99, 1000, 1005.99, 1006, 1033.99, 1034, Number.NaN].map((d) => jointAt(JOB, d))).toEqual([
      -1, 0, 0, 1, 3, -1, -1,
    ]);
  });

  it('looks to the tool that has the shortest way down to its own open ground', () => {
    const focus = (end: number, done?: Scene['done']): string => {
      const work = createWork();
      findFocus(work, JOB, talliesOf(done), depthsAt(end));
      return JOB.tools[work.focusTool]!.name;
    };
    expect(focus(1004)).toBe('upper'); // 1.5 m to Z1 against 3.5 m to S1
    expect(focus(1004, [['Z1', 1000.5, 1005.5]])).toBe('lower');
    expect(focus(1020)).toBe('lower');
  });

  it('knows whether anything is left below', () => {
    expect(isWorkLeft(JOB, talliesOf(), depthsAt(1000))).toBe(true);
    expect(isWorkLeft(JOB, talliesOf(), depthsAt(1040))).toBe(false);
    expect(isWorkLeft(JOB, talliesOf([['S2', 1024.5, 1033.5]]), depthsAt(1026))).toBe(false);
    expect(isWorkLeft(JOB, talliesOf([['S2', 1024.5, 1033.4]]), depthsAt(1026))).toBe(true);
  });

  it('takes ground just ahead for the edge of the work', () => {
    const joint = JOB.joints[3]!;
    const tally = talliesOf([['S2', 1024.5, 1030]])[3]!;
    expect([1029.6, 1029.8, 1030, 1033].map((d) => isAtOpenEdge(joint, tally, d))).toEqual([false, true, true, true]);
  });

  it('takes half the minimum, or some rotation, for intent (common practice)', () => {
    const recipe = JOB.recipes.screen!;
    expect(
      [
        [3749, 0],
        [3750, 0],
        [0, 5],
        [0, 4],
      ].map(([pressure, rpm]) => isIntended(recipe, pressure!, rpm!)),
    ).toEqual([false, true, true, false]);
  });
});

describe('the search among the joints', () => {
  const done = fc.record({ joint: fc.nat(39), from: fc.double({ min: 0, max: 1 }), to: fc.double({ min: 0, max: 1 }) });
  const ends = fc.oneof(fc.double({ min: 980, max: 1140, noNaN: true }), fc.constant(Number.NaN));

  it('finds the same focus and the same work left as a look at every one of them', () => {
    const joints = Array.from({ length: 40 }, (_, i) => ({
      name: `J${i}`,
      kind: (['isolation', 'screen', 'blank'] as const)[i % 3]!,
      length: 3,
    }));
    const plan = compileJob({ ...PLAN, liner: { top: 1000, joints } });
    fc.assert(
      fc.property(fc.array(done, { maxLength: 60 }), ends, fc.nat(1), (parts, end, before) => {
        const tallies = plan.joints.map(() => createJointTally(plan.tools.length));
        for (const { joint, from, to } of parts) {
          const { from: top, requiredM } = plan.joints[joint]!;
          addInterval(
            tallies[joint]!.expanded,
            top + (from < 0.5 ? 0 : from) * requiredM,
            top + Math.sqrt(to) * requiredM,
          );
        }
        const depths = plan.tools.map((tool) => end - tool.offsetM);
        let nearest = Infinity;
        let focus = before;
        let left = false;
        for (const joint of plan.joints) {
          for (const tool of joint.recipe?.tools ?? []) {
            const open = firstOutside(tallies[joint.index]!.expanded, depths[tool]!, joint.from, joint.to);
            left ||= !Number.isNaN(open);
            if (!(open - depths[tool]! < nearest)) continue;
            nearest = open - depths[tool]!;
            focus = tool;
          }
        }
        const work = { ...createWork(), focusTool: before };
        findFocus(work, plan, tallies, depths);
        expect([work.focusTool, isWorkLeft(plan, tallies, depths)]).toEqual([focus, left]);
      }),
      { numRuns: 500 },
    );
  });
});
