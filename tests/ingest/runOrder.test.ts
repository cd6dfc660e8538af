import fc from 'fast-check';
import { expect, test } from 'vitest';
import { noRefusals } from '../../ingest/wits/refusals.ts';
import { RunOrder } from '../../ingest/wits/runOrder.ts';
import { emptySample } from '../../src/channels.ts';

test('whatever the stamps: strictly increasing, and every sample goes out or is counted', () => {
  const step = fc.oneof(
    { weight: 8, arbitrary: fc.constant(1000) },
    fc.integer({ min: -20_000, max: 20_000 }),
    fc.integer({ min: -5_000_000, max: 5_000_000 }),
    fc.constantFrom(-3_600_000, 3_600_000, 300_000, 300_001, -300_000, 5000, -5000),
  );
  fc.assert(
    fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
      const counts = noRefusals();
      const out: number[] = [];
      const order = new RunOrder(5000, (sample) => out.push(sample.sourceMs), counts);
      let stamp = 1e12;
      let offered = 0;
      steps.forEach((each, content) => {
        stamp += each;
        if (order.contentAt(stamp) !== undefined) return;
        offered++;
        order.offer(stamp, content, emptySample(stamp, Number.NaN));
      });
      order.end();
      out.forEach((ms, i) => {
        if (i > 0) expect(ms).toBeGreaterThan(out[i - 1]!);
      });
      expect(out.length + counts['out of order'] + counts['odd time stamp'] + counts['repeated packet']).toBe(offered);
    }),
    { numRuns: 2000 },
  );
});

test('a steady clock with one damaged stamp loses no more than the few samples that it hides', () => {
  fc.assert(
    fc.property(fc.integer({ min: 3, max: 40 }), fc.integer({ min: -1e8, max: 1e8 }), (place, damage) => {
      const counts = noRefusals();
      const out: number[] = [];
      const order = new RunOrder(5000, (sample) => out.push(sample.sourceMs), counts);
      for (let i = 0; i < 60; i++) {
        const stamp = 1e12 + i * 1000 + (i === place ? damage : 0);
        if (order.contentAt(stamp) === undefined) order.offer(stamp, i, emptySample(stamp, Number.NaN));
      }
      order.end();
      expect(out.length).toBeGreaterThanOrEqual(60 - 5);
      expect(out.at(-1)).toBe(1e12 + 59_000);
      expect(counts['clock step']).toBe(0);
    }),
    { numRuns: 500 },
  );
});
