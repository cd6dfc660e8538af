/** Rises of pressure that the flow does not explain: never by pumps alone, whatever their relation of pressure and flow. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  createUnexplainedRise,
  forgetRise,
  isUnexplained,
  rememberFlow,
} from '../../../src/pipeline/unexplainedRise.ts';

type Point = readonly [flow: number, kpa: number];

/** In how many of the samples, a second apart, a rise stands. */
function risesIn(points: readonly Point[]): number {
  const state = createUnexplainedRise();
  let rises = 0;
  points.forEach(([flow, kpa], i) => {
    if (isUnexplained(state, i * 1000, flow, kpa)) rises += 1;
    rememberFlow(state, i * 1000, flow, kpa);
  });
  return rises;
}
const steady = (seconds: number, flow: number, kpa: number): Point[] =>
  Array.from({ length: seconds }, () => [flow, kpa]);

describe('an unexplained rise', () => {
  it('is a pressure that climbs at a steady flow, or is held with the pumps stopped', () => {
    const climb = Array.from({ length: 30 }, (_, i): Point => [160, 300 + 100 * i]);
    expect(risesIn([...steady(40, 160, 300), ...climb])).toBeGreaterThan(15);
    expect(risesIn([...steady(40, 160, 300), ...steady(20, 0, 4000)])).toBe(20);
  });

  it.each<[string, Point[]]>([
    ['a small one', [...steady(40, 160, 300), ...steady(20, 160, 900)]],
    ['a share of a high pressure', [...steady(40, 700, 9000), ...steady(20, 700, 12_000)]],
    ['one with the flow', [...steady(40, 160, 300), ...steady(20, 400, 2000)]],
    ['one after too long a time', [...steady(40, 160, 300), ...steady(150, 600, 4000), ...steady(9, 160, 2000)]],
  ])('is not %s', (_, points) => {
    expect(risesIn(points)).toBe(0);
  });

  it('is forgotten with what was before it', () => {
    const state = createUnexplainedRise();
    for (let i = 0; i < 40; i += 1) rememberFlow(state, i * 1000, 160, 300);
    expect(isUnexplained(structuredClone(state), 41_000, 160, 3000)).toBe(true);
    forgetRise(state);
    expect(isUnexplained(state, 41_000, 160, 3000)).toBe(false);
  });

  it('is never made by pumps that come and go, with a pressure that follows the flow late', () => {
    const leg = fc.record({
      to: fc.double({ min: 0, max: 900, noNaN: true }),
      ramp: fc.integer({ min: 3, max: 60 }),
      hold: fc.integer({ min: 0, max: 90 }),
    });
    fc.assert(
      fc.property(
        fc.array(leg, { minLength: 1, maxLength: 8 }),
        fc.double({ min: 1.5, max: 2.1, noNaN: true }),
        (legs, exponent) => {
          const points: Point[] = [];
          let flow = 0;
          let kpa = 0;
          for (const { to, ramp, hold } of legs) {
            const from = flow;
            for (let s = 1; s <= ramp + hold; s += 1) {
              flow = from + (to - from) * Math.min(1, s / ramp);
              kpa += 0.5 * (9000 * (flow / 700) ** exponent - kpa);
              points.push([flow, kpa]);
            }
          }
          // A lag of a second or two while the pumps run down is over before a ball would be believed.
          expect(longestRise(points)).toBeLessThan(5);
        },
      ),
      { numRuns: 300 },
    );
  });
});

function longestRise(points: readonly Point[]): number {
  const state = createUnexplainedRise();
  let longest = 0;
  points.forEach(([flow, kpa], i) => {
    isUnexplained(state, i * 1000, flow, kpa);
    longest = Math.max(longest, state.samples);
    rememberFlow(state, i * 1000, flow, kpa);
  });
  return longest;
}
