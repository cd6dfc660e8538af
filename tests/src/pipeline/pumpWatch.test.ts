/** Flow against strokes × displacement. */
import { describe, expect, it } from 'vitest';
import { emptySample } from '../../../src/channels.ts';
import { advancePumpWatch, createPumpWatch, strokeFlow } from '../../../src/pipeline/pumpWatch.ts';
import type { Pump } from '../../../src/plan/engineering.ts';

const pumps = (count: number): Pump[] =>
  Array.from({ length: count }, (_, i) => ({ name: `${i + 1}`, litresPerStroke: 15 }));

describe('flow by the strokes', () => {
  it.each([
    [2, [30, 20, Number.NaN], 750],
    [2, [30, 0, 0], 450],
    // Nothing is guessed: a pump that is not in the plan, a rate that is not read, no pumps, more pumps than rates.
    [1, [30, 20, 0], Number.NaN],
    [2, [30, Number.NaN, 0], Number.NaN],
    [0, [30, 0, 0], Number.NaN],
    [4, [30, 30, 30], Number.NaN],
  ] as const)('%i pumps at %j strokes: %d L/min', (count, [one, two, three], flow) => {
    const sample = { ...emptySample(0, 0), strokeRate1: one, strokeRate2: two, strokeRate3: three };
    expect(strokeFlow(pumps(count), sample)).toBe(flow);
  });
});

describe('a mismatch', () => {
  const told = (flows: readonly number[], byStrokes: number) => {
    const state = createPumpWatch();
    flows.forEach((flow, i) => {
      advancePumpWatch(state, pumps(1), i * 10_000, i * 10_000 + 10_000, flow, byStrokes, 0.08);
    });
    return state.verdict;
  };
  it.each([
    ['both the same', [900, 900, 900, 900], 900, 'none'],
    ['7 % apart', [837, 837, 837, 837], 900, 'none'],
    ['15 % apart', [765, 765, 765, 765], 900, 'mismatch'],
    ['15 % the other way', [1035, 1035, 1035, 1035], 900, 'mismatch'],
    ['once', [900, 900, 700, 900, 900], 900, 'none'],
    // At ten strokes a minute half a stroke is 5 %.
    ['12 % at few strokes', [168, 168, 168, 168], 150, 'none'],
    ['strokes that are not known', [900, 900, 900], Number.NaN, 'none'],
  ] as const)('%s', (_, flows, byStrokes, verdict) => {
    expect(told(flows, byStrokes)).toBe(verdict);
  });
});
