import fc from 'fast-check';
import { expect, test } from 'vitest';
import { DeltaRing } from '../../server/live/deltaRing.ts';

test('it holds the latest messages within both limits, and tells exactly which it can give', () => {
  const limits = { count: fc.integer({ min: 1, max: 20 }), bytes: fc.integer({ min: 10, max: 400 }) };
  const steps = fc.array(
    fc.oneof({ weight: 20, arbitrary: fc.integer({ min: 1, max: 60 }) }, fc.constant('skip' as const)),
    {
      maxLength: 3000,
      size: 'max',
    },
  );
  fc.assert(
    fc.property(fc.record(limits), steps, (limit, sizes) => {
      const ring = new DeltaRing(limit.count, limit.bytes);
      let model: { seq: number; message: Buffer }[] = [];
      let last = 0;
      for (const size of sizes) {
        last++;
        if (size === 'skip') {
          ring.skip();
          model = [];
          continue;
        }
        const message = Buffer.from(Uint8Array.from({ length: size }, (_, i) => last + 7 * i));
        ring.push(message);
        model.push({ seq: last, message });
        while (model.length > limit.count || model.reduce((sum, one) => sum + one.message.length, 0) > limit.bytes)
          model.shift();
      }
      expect([ring.last, ring.bytes]).toEqual([last, model.reduce((sum, one) => sum + one.message.length, 0)]);
      const oldest = last - model.length;
      for (const seq of [oldest - 1, oldest, oldest + 1, last - 1, last, last + 1]) {
        if (seq < 0) continue;
        const missed =
          seq < oldest || seq > last ? null : model.filter((one) => one.seq > seq).map((one) => one.message);
        expect(ring.after(seq)).toEqual(missed);
      }
    }),
    { numRuns: 40 },
  );
});
