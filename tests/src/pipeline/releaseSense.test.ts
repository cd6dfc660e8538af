/** The release: 775 kN up before, a liner of 120. */
import { describe, expect, it } from 'vitest';
import type { HangerScript } from '../../heldOut/hangerScript.ts';
import { STRETCH_M_PER_KN } from '../../heldOut/hangerTrip.ts';
import { numbersOf, playCase, set } from '../../support/hangerCases.ts';

/** Pushed and pulled, at neutral weight. */
function tested(): HangerScript {
  const script = set();
  for (const hook of [945, 560, 600]) {
    const depth = 2410 - (hook - 720) * STRETCH_M_PER_KN;
    script.go(50, { hook, depth }).go(25);
  }
  return script;
}
const turn = (script: HangerScript): HangerScript => script.go(4, { rpm: 10 }).go(30).go(4, { rpm: 0 }).go(10);
const pickUp = (script: HangerScript, up: number): HangerScript =>
  script
    .go(6, { hook: up, depth: script.now.depth - 0.6 })
    .go(60, { depth: script.now.depth - 4.6 })
    .go(20);
const ofRelease = (script: HangerScript, change?: Parameters<typeof playCase>[1]) => {
  const { record, events } = playCase(script, change);
  return { steps: (record.steps ?? []).filter(({ kind }) => kind === 'release'), events, record };
};

describe('a release', () => {
  it.each<[string, number, string, string[]]>([
    ['lighter by the liner', 655, 'passed', []],
    ['as heavy as before', 775, 'failed', ['test not passed']],
    ['lighter by half of it', 715, 'not proven', []],
    ['lighter by far more', 560, 'not proven', []],
  ])('picked up %s', (_, up, outcome, events) => {
    const found = ofRelease(pickUp(turn(tested()), up));
    expect(found.steps.map((step) => step.outcome)).toEqual([outcome]);
    expect(found.events).toEqual(events);
    expect(numbersOf(found.steps[0]!)['up-weight before']).toBeCloseTo(775, -1);
    expect(numbersOf(found.steps[0]!)['up-weight after']).toBeCloseTo(up, -1);
  });

  it('is reported and not proven where the plan does not say what the liner weighs', () => {
    const { steps } = ofRelease(pickUp(turn(tested()), 655), (plan) => {
      delete plan.hanger!.linerWeight;
    });
    expect(steps.map(({ outcome, detail }) => [outcome, detail])).toEqual([
      ['not proven', "the plan does not give the liner's weight"],
    ]);
    expect(Math.abs(numbersOf(steps[0]!).change! - 120)).toBeLessThan(10);
  });

  it('needs no turning that was read where the liner is plainly gone', () => {
    expect(ofRelease(pickUp(tested(), 655)).steps.map(({ outcome }) => outcome)).toEqual(['passed']);
  });

  it('stays open while nobody has picked up, and its phase ends', () => {
    const { steps, record } = ofRelease(turn(tested()).go(400));
    expect(steps.map(({ outcome }) => outcome)).toEqual(['open']);
    expect(record.phases.slice(-2).map(({ phase }) => phase)).toEqual(['releasing', 'waiting']);
  });

  it('is none before the hanger was tested, nor with the pumps on, nor far from neutral weight', () => {
    expect(ofRelease(turn(set())).steps).toEqual([]);
    expect(ofRelease(turn(tested().go(10, { flow: 400, spp: 1500 }))).steps).toEqual([]);
    expect(ofRelease(turn(tested().go(20, { hook: 720, depth: 2410 }))).steps).toEqual([]);
  });
});
