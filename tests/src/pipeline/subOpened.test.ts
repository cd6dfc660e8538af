/** A circulating sub opened by its ball: the pressure at the same flow before and after. */
import { describe, expect, it } from 'vitest';
import type { HangerScript } from '../../heldOut/hangerScript.ts';
import { atDepth, numbersOf, playCase } from '../../support/hangerCases.ts';

/** Circulated at these flows, then the ball on its seat, a peak, and the sub open or not. */
function opened(flows: readonly number[], after: number, kpa: number): HangerScript {
  const script = atDepth();
  for (const flow of flows) script.go(15, { flow, spp: (flow / 700) ** 1.9 * 5200 }).go(60);
  script.drop('ball 2').go(15, { flow: 160, spp: 320 }).go(60).go(40, { spp: 9500 }).go(1.5, { spp: 100 }).go(10);
  return script.go(15, { flow: after, spp: kpa }).go(60);
}
const ofSub = (script: HangerScript) => playCase(script).record.steps!.filter(({ kind }) => kind === 'sub opened');

describe('a circulating sub', () => {
  it.each<[string, readonly number[], number, number, string]>([
    ['is open at a clearly lower pressure', [700], 700, 2300, 'passed'],
    ['is open at a flow near one before', [500, 700], 640, 2000, 'passed'],
    ['is not open at the same pressure', [700], 700, 5100, 'failed'],
    ['is not proven at a flow like none before', [300], 800, 2300, 'not proven'],
  ])('%s', (_, flows, after, kpa, outcome) => {
    const steps = ofSub(opened(flows, after, kpa));
    expect(steps.map((step) => step.outcome)).toEqual([outcome]);
    expect(numbersOf(steps[0]!)['pressure after']).toBeCloseTo(kpa, -2);
  });

  it('says what the pressure would have been', () => {
    // (640/700)^1.9 × 5,200 by hand: 4,387 kPa.
    const [step] = ofSub(opened([700], 640, 2000));
    expect(Math.abs(numbersOf(step!)['pressure before']! - 4387)).toBeLessThan(60);
  });
});
