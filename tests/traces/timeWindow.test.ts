import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { backToLive, hold, pan, rangeOf, SPANS, type TimeWindow, zoom } from '../../web/traces/timeWindow.ts';

const held = { fromMs: 1_000_000, toMs: 1_000_000 + 72 * 3_600_000 };
const later = { ...held, toMs: held.toMs + 60_000 };
const live: TimeWindow = { kind: 'live', span: 3_600_000 };

type Step = (window: TimeWindow) => TimeWindow;
const step: fc.Arbitrary<Step> = fc.oneof(
  fc.double({ min: 0.01, max: 50, noNaN: true }).map(
    (f): Step =>
      (w) =>
        zoom(w, f, held),
  ),
  fc.tuple(fc.double({ min: 0.01, max: 50, noNaN: true }), fc.integer({ min: held.fromMs, max: held.toMs })).map(
    ([f, about]): Step =>
      (w) =>
        zoom(w, f, held, about),
  ),
  fc.double({ min: -3, max: 3, noNaN: true }).map(
    (share): Step =>
      (w) =>
        pan(w, share, held),
  ),
  fc.tuple(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: -1e9, max: 1e9 })).map(
    ([fromMs, toMs]): Step =>
      (w) =>
        hold(w, { fromMs, toMs }, held),
  ),
  fc.constantFrom(...SPANS).map(
    ({ span }): Step =>
      () => ({ kind: 'live', span }),
  ),
  fc.constant<Step>(backToLive),
);

describe('time window', () => {
  it('live ends at the newest row and follows it', () => {
    expect(rangeOf(live, held)).toEqual({ fromMs: held.toMs - 3_600_000, toMs: held.toMs });
    expect(rangeOf(live, later).toMs).toBe(later.toMs);
    expect(rangeOf({ kind: 'live', span: 'all' }, held)).toEqual(held);
  });

  it('whatever is done, the range is finite, at least 10 s, at most the run, and meets the data', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        const window = steps.reduce((w, apply) => apply(w), live as TimeWindow);
        const { fromMs, toMs } = rangeOf(window, held);
        expect(toMs - fromMs).toBeGreaterThanOrEqual(10_000 - 1e-3);
        expect(toMs - fromMs).toBeLessThanOrEqual(held.toMs - held.fromMs + 1e-3);
        expect(fromMs).toBeGreaterThanOrEqual(held.fromMs - 1e-3);
        expect(toMs).toBeLessThanOrEqual(held.toMs + 1e-3);
      }),
    );
  });

  it('a held window is not moved by live data, until "back to live" brings the former span', () => {
    const selected = hold(live, { fromMs: 50_000_000, toMs: 51_000_000 }, held);
    expect(rangeOf(selected, later)).toEqual(rangeOf(selected, held));
    expect(backToLive(selected)).toEqual(live);
  });

  it('zoom about a moment keeps that moment in its place', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 0.9, noNaN: true }),
        (f, share) => {
          const start = hold(live, { fromMs: 60_000_000, toMs: 80_000_000 }, held);
          const about = 60_000_000 + share * 20_000_000;
          const { fromMs, toMs } = rangeOf(zoom(start, f, held, about), held);
          expect((about - fromMs) / (toMs - fromMs)).toBeCloseTo(share, 6);
        },
      ),
    );
  });

  it('a selection from right to left is the same as from left to right', () => {
    const forth = hold(live, { fromMs: 50_000_000, toMs: 51_000_000 }, held);
    expect(hold(live, { fromMs: 51_000_000, toMs: 50_000_000 }, held)).toEqual(forth);
  });
});
