/** The usual time between two samples. */
import { describe, expect, it } from 'vitest';
import { createPeriod, gapAfterMs, learnPeriod, type Period, periodMs } from '../../../src/pipeline/period.ts';

function learnt(...stretches: [count: number, ms: number][]): Period {
  const state = createPeriod();
  for (const [count, ms] of stretches) for (let i = 0; i < count; i += 1) learnPeriod(state, ms);
  return state;
}

describe('period', () => {
  it.each([1000, 2000, 5000, 10_000, 30_000])('learns frames every %d ms', (ms) => {
    expect(periodMs(learnt([10, ms]))).toBe(ms);
  });

  it('takes a second for granted before it has seen enough', () => {
    expect(periodMs(learnt([3, 5000]))).toBe(1000);
    expect(gapAfterMs(learnt([3, 5000]), 5000)).toBe(5000);
  });

  it('is not misled by late frames and breaks', () => {
    expect(periodMs(learnt([40, 1000], [6, 3000], [2, 900_000], [40, 1000]))).toBe(1000);
  });

  it('learns a stream anew that changes its rate', () => {
    expect(periodMs(learnt([3000, 1000], [1000, 5000]))).toBe(5000);
  });

  it('counts frames quicker than a second as a second: stamps are no finer', () => {
    expect(periodMs(learnt([20, 200]))).toBe(1000);
  });
});

describe('the gap', () => {
  it("is the plan's where the stream is as quick as the plan thought", () => {
    expect(gapAfterMs(learnt([100, 1000]), 5000)).toBe(5000);
    expect(gapAfterMs(learnt([100, 3000]), 5000)).toBe(5000);
  });

  it('is a period and a half where the stream is slower', () => {
    expect(gapAfterMs(learnt([100, 5000]), 5000)).toBe(7500);
    expect(gapAfterMs(learnt([100, 20_000]), 5000)).toBe(30_000);
  });
});
