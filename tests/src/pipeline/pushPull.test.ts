/** Push and pull: 160 kN above the 775 up, 110 below the 680 down, 0.15 m at most. The string gives 0.00497 m a kN. */
import { describe, expect, it } from 'vitest';
import type { HangerScript } from '../../heldOut/hangerScript.ts';
import { STRETCH_M_PER_KN } from '../../heldOut/hangerTrip.ts';
import { numbersOf, playCase, REST_KN, set } from '../../support/hangerCases.ts';

/** To a load on the hook, the block moving as the string gives and `moreM` besides. */
function load(script: HangerScript, hook: number, moreM = 0): HangerScript {
  const depth = 2410 - (hook - REST_KN) * STRETCH_M_PER_KN - moreM;
  return script.go(Math.max(8, Math.abs(depth - script.now.depth) * 50), { hook, depth }).go(25);
}
const ofPull = (script: HangerScript, change?: Parameters<typeof playCase>[1]) => {
  const { record, events } = playCase(script, change);
  return { steps: (record.steps ?? []).filter(({ kind }) => kind === 'push and pull'), events };
};

describe('push and pull', () => {
  it('passes with both forces reached and nothing left over, in either order', () => {
    for (const order of [
      [945, 560],
      [560, 945],
    ]) {
      const script = order.reduce((s, hook) => load(s, hook), set());
      const { steps, events } = ofPull(script);
      expect(steps.map(({ outcome }) => outcome)).toEqual(['passed']);
      expect(events).toEqual([]);
      const { pull, push, residual } = numbersOf(steps[0]!);
      expect(pull).toBeGreaterThan(160);
      expect(push).toBeGreaterThan(110);
      expect(residual).toBeLessThan(0.03);
    }
  });

  it.each([
    ['just within', 0.1, 'passed', []],
    ['beyond', 0.25, 'failed', ['hanger moved']],
  ])('with a movement %s what the plan allows', (_, more, outcome, events) => {
    const found = ofPull(load(load(set(), 945, more), 560, more));
    expect(found.steps[0]!.outcome).toBe(outcome);
    expect(found.events).toEqual(events);
    expect(numbersOf(found.steps[0]!).residual).toBeCloseTo(more, 1);
  });

  it('that reaches one force only stays open, and is not proven once the tool is turned free', () => {
    const pulled = load(set(), 945);
    expect(ofPull(pulled).steps.map(({ outcome }) => outcome)).toEqual(['open']);
    const turned = load(pulled, 600).go(4, { rpm: 10 }).go(60).go(4, { rpm: 0 });
    expect(ofPull(turned).steps.map(({ outcome, detail }) => [outcome, detail])).toEqual([
      ['not proven', 'the push did not reach its force'],
    ]);
  });

  it('without a string in the plan reaches its forces and proves nothing', () => {
    const { steps } = ofPull(load(load(set(), 945), 560), (plan) => {
      delete plan.string;
    });
    expect(steps[0]!.outcome).toBe('not proven');
    expect(numbersOf(steps[0]!)['pull movement']).toBeCloseTo(1.12, 1);
  });

  it('is none before a hanger was set, nor inside the free weights, nor while the string goes somewhere', () => {
    const free = set().go(5, { hook: 770 }).go(60, { depth: 2404 }).go(5, { hook: 685 }).go(60, { depth: 2410 }).go(20);
    expect(ofPull(free).steps).toEqual([]);
    const drags = set().go(5, { hook: 850 }).go(100, { depth: 2398 }).go(20);
    expect(ofPull(drags).steps.filter(({ outcome }) => outcome === 'passed')).toEqual([]);
  });
});
