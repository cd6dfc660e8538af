/** The plan file: what the format shows is accepted, what is wrong is refused at its place. */
import { describe, expect, it } from 'vitest';
import { PLAN_LIMITS, planSchema } from '../../../src/plan/planSchema.ts';
import { ENGINEERING_PART, EXAMPLE_PLAN } from './examplePlan.ts';

/** The example with one place changed; undefined takes the place out. */
function changed(path: (string | number)[], value: unknown): unknown {
  const plan = structuredClone(EXAMPLE_PLAN) as unknown as Record<string | number, unknown>;
  let at = plan;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  const last = path.at(-1)!;
  if (value === undefined) delete at[last];
  else at[last] = value;
  return plan;
}

const placesOf = (plan: unknown): string[] => {
  const parsed = planSchema.safeParse(plan);
  return parsed.success ? [] : parsed.error.issues.map((issue) => issue.path.join('.'));
};

describe('the plan schema', () => {
  it('takes the example of the format as it stands', () => {
    expect(planSchema.parse(EXAMPLE_PLAN)).toEqual(EXAMPLE_PLAN);
  });

  it('takes the engineering part beside it', () => {
    expect(placesOf({ ...EXAMPLE_PLAN, ...ENGINEERING_PART })).toEqual([]);
    expect(planSchema.parse({ ...EXAMPLE_PLAN, ...ENGINEERING_PART })).toEqual({
      ...EXAMPLE_PLAN,
      ...ENGINEERING_PART,
    });
  });

  it.each<(string | number)[]>([
    ['job'],
    ['stream'],
    ['acceptance'],
    ['limits'],
    ['liner', 'joints', 1, 'expandFrom'],
    ['liner', 'joints', 1, 'expandTo'],
    ['liner', 'joints', 1, 'zone'],
    ['recipes', 'screen', 'pressure'],
    ['recipes', 'screen', 'pressure', 'at'],
    ['recipes', 'screen', 'pressure', 'min'],
    ['recipes', 'screen', 'rpm'],
    ['recipes', 'screen', 'feed'],
    ['recipes', 'screen', 'torque'],
    ['recipes', 'screen'],
  ])('does without %s %s %s %s', (...path) => {
    expect(placesOf(changed(path, undefined))).toEqual([]);
  });

  it('fills in what the format gives when it is left out', () => {
    const plan = planSchema.parse(changed(['stream'], {}));
    expect(plan.stream).toEqual({ utcOffset: '+00:00', nulls: [-999.25, -9999, -8888], gapAfter: 5 });
  });

  it.each<[string, (string | number)[], unknown]>([
    ['format', ['format'], 'jointwise-plan/2'],
    ['units', ['units'], 'imperial'],
    ['liner.joints.1.kind', ['liner', 'joints', 1, 'kind'], 'packer'],
    ['liner.joints.1.length', ['liner', 'joints', 1, 'length'], 0],
    ['liner.joints.1.length', ['liner', 'joints', 1, 'length'], '7.4'],
    ['liner.joints.0.name', ['liner', 'joints', 0, 'name'], ' '],
    ['liner.joints', ['liner', 'joints'], []],
    ['liner.top', ['liner', 'top'], -1],
    ['tools', ['tools'], []],
    ['tools.0.offset', ['tools', 0, 'offset'], -5],
    ['recipes.screen.tools', ['recipes', 'screen', 'tools'], []],
    ['recipes.screen.pressure.at', ['recipes', 'screen', 'pressure', 'at'], 'annulus'],
    ['recipes.screen.feed.max', ['recipes', 'screen', 'feed', 'max'], 0],
    ['acceptance.coverage', ['acceptance', 'coverage'], 97],
    ['limits.stall.seconds', ['limits', 'stall', 'seconds'], 0],
    ['stream.utcOffset', ['stream', 'utcOffset'], 'Z'],
    ['stream.utcOffset', ['stream', 'utcOffset'], '+15:00'],
    ['stream.gapAfter', ['stream', 'gapAfter'], 0],
    ['stream.gapAfter', ['stream', 'gapAfter'], 4000],
    ['stream.nulls', ['stream', 'nulls'], new Array(PLAN_LIMITS.nulls + 1).fill(0)],
    ['stream.channels.114', ['stream', 'channels'], { '114': { channel: 'torque' } }],
    ['stream.channels.0114.channel', ['stream', 'channels'], { '0114': { channel: 'magic' } }],
    ['stream.channels.0114.unit', ['stream', 'channels'], { '0114': { channel: 'torque', unit: 'furlong' } }],
    ['tools', ['tools'], new Array(PLAN_LIMITS.tools + 1).fill({ name: 'x', offset: 1 })],
  ])('refuses at %s', (place, path, value) => {
    expect(placesOf(changed(path, value))).toContain(place);
  });

  it('is bounded: one joint too many is refused', () => {
    const joint = { name: 'B', kind: 'blank', length: 12 };
    expect(placesOf(changed(['liner', 'joints'], new Array(PLAN_LIMITS.joints).fill(joint)))).toEqual([]);
    expect(placesOf(changed(['liner', 'joints'], new Array(PLAN_LIMITS.joints + 1).fill(joint)))).toEqual([
      'liner.joints',
    ]);
  });
});
