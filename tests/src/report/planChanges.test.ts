import { describe, expect, test } from 'vitest';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { planChanges } from '../../../src/report/planChanges.ts';
import { SMALL_PLAN } from '../../support/smallPlan.ts';

const plan: Plan = planSchema.parse(SMALL_PLAN);

describe('what a plan says otherwise than another', () => {
  test('nothing for the same plan, whatever the order of its keys', () => {
    expect(planChanges(plan, plan)).toEqual([]);
    expect(planChanges(plan, Object.fromEntries(Object.entries(plan).reverse()) as Plan)).toEqual([]);
  });

  test('a line for each value that changed, came or went, in the order of places', () => {
    const { acceptance: _, ...without } = plan;
    const [first, ...rest] = plan.liner.joints;
    const joints = [{ ...first!, name: 'a = "b" = c' }, ...rest];
    const changed: Plan = { ...without, liner: { ...plan.liner, joints }, acceptance: { coverage: 0.5 } };
    expect(planChanges({ ...without, acceptance: { longestGap: 0.4 } }, changed)).toEqual([
      { place: 'acceptance.coverage', before: null, after: '0.5' },
      { place: 'acceptance.longestGap', before: '0.4', after: null },
      { place: 'liner.joints[0].name', before: JSON.stringify(first!.name), after: '"a = \\"b\\" = c"' },
    ]);
  });

  test('a key that holds what parts place and value is one place', () => {
    const odd = (value: number) => ({ ...plan, stream: { ...plan.stream, 'x" = y': value } }) as unknown as Plan;
    expect(planChanges(odd(1), odd(2))).toEqual([{ place: 'stream."x\\" = y"', before: '1', after: '2' }]);
  });
});
