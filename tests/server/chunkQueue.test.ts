import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ChunkQueue } from '../../server/live/chunkQueue.ts';

const step = fc.oneof(
  fc.record({ push: fc.uint8Array({ minLength: 1, maxLength: 60 }) }),
  fc.record({ take: fc.integer({ min: 1, max: 4 }) }),
);

test('what was taken in comes out in order and whole, what found it full is refused and counted', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 100 }),
      fc.array(step, { maxLength: 400, size: 'max' }),
      (limitBytes, steps) => {
        const queue = new ChunkQueue(limitBytes);
        const waiting: { byte: number; arrivalMs: number }[] = [];
        let refused = 0;
        const take = () => {
          const chunk = queue.shift();
          const expected = waiting.splice(0, chunk?.bytes.length ?? 0);
          expect([...(chunk?.bytes ?? [])]).toEqual(expected.map(({ byte }) => byte));
          for (const { arrivalMs } of expected) expect(arrivalMs).toBe(chunk!.arrivalMs);
          expect(queue.bytes).toBe(waiting.length);
          return chunk !== undefined;
        };
        steps.forEach((each, arrivalMs) => {
          if ('take' in each) {
            for (let i = 0; i < each.take; i++) take();
            return;
          }
          const full = waiting.length > 0 && waiting.length + each.push.length > limitBytes;
          if (full) refused += each.push.length;
          else for (const byte of each.push) waiting.push({ byte, arrivalMs });
          expect(queue.push(each.push, arrivalMs)).toBe(!full);
          each.push.fill(0);
          expect(queue.refusedBytes).toBe(refused);
          expect(queue.isFilling).toBe(waiting.length > limitBytes / 2);
        });
        while (take());
        expect(waiting).toEqual([]);
      },
    ),
    { numRuns: 60 },
  );
});
