/** From a plan to a job: what cannot be meant, and every number at its depth and in its inside unit. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileJob, planProblems } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { EXAMPLE_PLAN } from './examplePlan.ts';

const example = (): Plan => planSchema.parse(EXAMPLE_PLAN);
const station = (md: number, inclination: number, azimuth = 0) => ({ md, inclination, azimuth });
function problemsAfter(change: (plan: Plan) => void): string[] {
  const plan = example();
  change(plan);
  return planProblems(plan).map(({ path, text }) => `${path}: ${text}`);
}

describe('what cannot be meant', () => {
  it('the example makes sense', () => {
    expect(planProblems(example())).toEqual([]);
  });

  it.each<[string, (plan: Plan) => void, string]>([
    [
      'a tool twice',
      (plan) => {
        plan.tools[1]!.name = 'upper';
        plan.recipes.screen!.tools = ['upper'];
      },
      'tools[1].name: found "upper" twice, expected each tool once',
    ],
    [
      'a joint twice',
      (plan) => {
        plan.liner.joints[3]!.name = 'B1';
      },
      'liner.joints[3].name: found "B1" twice, expected each joint once',
    ],
    [
      'an end of expansion below the joint',
      (plan) => {
        plan.liner.joints[3]!.expandTo = 11.7;
      },
      'liner.joints[3].expandTo: found 11.7 in "S1", expected at most its length 11.6',
    ],
    [
      'a start of expansion below its end',
      (plan) => {
        plan.liner.joints[3]!.expandFrom = 11.1;
      },
      'liner.joints[3].expandFrom: found 11.1 in "S1", expected less than 11.1',
    ],
    [
      'a joint without its recipe',
      (plan) => {
        delete plan.recipes.isolation;
      },
      'recipes.isolation: found nothing, expected a recipe for "Z1"',
    ],
    [
      'a tool that is not there',
      (plan) => {
        plan.recipes.screen!.tools = ['lower', 'middle'];
      },
      'recipes.screen.tools[1]: found "middle", expected one of upper, lower',
    ],
    [
      'a window upside down',
      (plan) => {
        plan.recipes.screen!.pressure!.max = 7000;
      },
      'recipes.screen.pressure: found min 7500 over max 7000, expected min at most max',
    ],
    [
      'a ball twice',
      (plan) => {
        const ball = { name: 'setting ball', purpose: 'set hanger' as const, seat: 2411.5, flow: 600 };
        plan.balls = [ball, { ...ball, seat: 2394 }];
      },
      'balls[1].name: found "setting ball" twice, expected each ball once',
    ],
    [
      'a pressure step twice',
      (plan) => {
        const step = { name: 'slips', pressure: 10000, hold: 5 };
        plan.hanger = { steps: [step, { ...step, pressure: 17000 }] };
      },
      'hanger.steps[1].name: found "slips" twice, expected each step once',
    ],
    [
      'a pump twice',
      (plan) => {
        const pump = { name: '1', displacement: 16.2 };
        plan.surface = { pumps: [pump, pump] };
      },
      'surface.pumps[1].name: found "1" twice, expected each pump once',
    ],
    [
      'a survey that goes up',
      (plan) => {
        plan.survey = [station(0, 0), station(500, 10), station(400, 12)];
      },
      'survey[2].md: found 400 below 500, expected a greater depth than the station above',
    ],
    [
      'a survey that turns right round',
      (plan) => {
        plan.survey = [station(0, 90), station(500, 90, 180)];
      },
      'survey[1].inclination: found the opposite of the direction above, expected a turn under 180 degrees',
    ],
  ])('%s', (_name, change, wanted) => {
    expect(problemsAfter(change)).toEqual([wanted]);
  });

  it('pressure at the tool is refused while it cannot be worked out', () => {
    expect(
      problemsAfter((plan) => {
        plan.recipes.screen!.pressure!.at = 'tool';
      }),
    ).toEqual([
      expect.stringMatching(
        /^recipes\.screen\.pressure\.at: found "tool" without string and fluid, expected "standpipe"/,
      ),
    ]);
  });
});

describe('depths', () => {
  it('of the example: the joints below each other, the parts to be expanded in them', () => {
    const job = compileJob(example());
    expect(
      job.joints.map(({ name, top, bottom, from, to, requiredM }) => [name, top, bottom, from, to, requiredM]),
    ).toEqual([
      ['HG', 2410, 2419.2, 2410, 2410, 0],
      ['Z1', 2419.2, 2426.6, 2420.1, 2425.7, 5.6],
      ['B1', 2426.6, 2438.5, 2426.6, 2426.6, 0],
      ['S1', 2438.5, 2450.1, 2439.1, 2449.6, 10.5],
    ]);
    expect(job.requiredM).toBeCloseTo(16.1, 9);
  });

  it('joints touch exactly, however their lengths add up', () => {
    const length = fc.integer({ min: 50, max: 15000 }).map((mm) => mm / 1000);
    fc.assert(
      fc.property(
        fc.array(length, { minLength: 1, maxLength: 40 }),
        fc.constantFrom('metric' as const, 'field' as const),
        (lengths, units) => {
          const plan = { ...example(), units };
          plan.liner = {
            top: 2410.33,
            joints: lengths.map((one, i) => ({ name: `B${i}`, kind: 'screen' as const, length: one })),
          };
          const { joints } = compileJob(plan);
          joints.forEach((joint, i) => {
            if (i > 0) expect(joint.top).toBe(joints[i - 1]!.bottom);
            expect([joint.from, joint.to]).toEqual([joint.top, joint.bottom]);
          });
          const total = lengths.reduce((sum, one) => sum + one, 0) * (units === 'field' ? 0.3048 : 1);
          expect(joints.at(-1)!.bottom - joints[0]!.top).toBeCloseTo(total, 3);
        },
      ),
    );
  });
});

describe('numbers and names', () => {
  it('a field plan in inside units', () => {
    const job = compileJob({
      ...example(),
      units: 'field',
      surface: { blockWeight: 40 },
      limits: { stall: { feed: 0.2, seconds: 25 } },
    });
    expect(job.joints[0]!.top).toBeCloseTo(2410 * 0.3048, 5);
    expect(job.tools[0]!.offsetM).toBeCloseTo(5.4 * 0.3048, 9);
    expect(job.recipes.screen!.pressureMinKpa).toBeCloseTo(7500 * 6.894757, 1);
    expect(job.recipes.screen!.feedMaxMPerMin).toBeCloseTo(2 * 0.3048, 9);
    expect(job.recipes.screen!.torqueMaxKnm).toBeCloseTo(12 * 1.355818, 4);
    expect(job.recipes.screen!.rpmMin).toBe(15);
    expect(job.blockWeightKn).toBeCloseTo(40 * 4.448222, 4);
    expect(job.acceptance).toEqual({ coverage: 0.97, longestGapM: 0.3 * 0.3048 });
    expect(job.stall).toEqual({ feedMPerMin: 0.2 * 0.3048, ms: 25_000 });
  });

  it('a bound that is left out never applies', () => {
    const plan = example();
    plan.recipes.screen = { tools: ['lower'] };
    delete plan.acceptance;
    delete plan.limits;
    const job = compileJob(plan);
    expect(job.recipes.screen).toEqual({
      kind: 'screen',
      pressureAt: 'standpipe',
      tools: [1],
      pressureMinKpa: -Infinity,
      pressureMaxKpa: Infinity,
      rpmMin: -Infinity,
      feedMaxMPerMin: Infinity,
      feedPerTurnMaxM: Infinity,
      torqueMaxKnm: Infinity,
    });
    expect(job.acceptance).toEqual({ coverage: 0, longestGapM: Infinity });
    expect(job.stall).toBeUndefined();
  });

  it('each joint has the recipe of its kind, and the others none', () => {
    const job = compileJob(example());
    expect(job.joints.map((joint) => joint.recipe?.kind)).toEqual([undefined, 'isolation', undefined, 'screen']);
    expect(job.joints[1]!.recipe).toBe(job.recipes.isolation);
  });

  it.each([
    ['+00:00', 0],
    ['+05:30', 19_800_000],
    ['-03:00', -10_800_000],
    ['-03:30', -12_600_000],
  ])('the offset %s is %d ms', (utcOffset, ms) => {
    const plan = example();
    plan.stream!.utcOffset = utcOffset;
    expect(compileJob(plan).stream.utcOffsetMs).toBe(ms);
  });

  it("a channel map of its own wins over the plan's, item by item", () => {
    const plan = example();
    plan.stream!.channels = { '0114': { channel: 'torque' }, '0117': { channel: 'rotation' } };
    expect(compileJob(plan, { '0114': { channel: null } }).stream.channels).toEqual({
      '0114': { channel: null },
      '0117': { channel: 'rotation' },
    });
  });

  it('the stream is in the units of the plan unless it says otherwise, and may be left out', () => {
    const plan = example();
    expect(compileJob({ ...plan, units: 'field' }).stream.units).toBe('metric');
    delete plan.stream;
    expect(compileJob({ ...plan, units: 'field' }).stream).toMatchObject({
      units: 'field',
      gapAfterMs: 5000,
      utcOffsetMs: 0,
    });
  });
});
