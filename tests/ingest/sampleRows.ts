import * as fc from 'fast-check';
import { CHANNEL_IDS, emptySample, type Sample } from '../../src/channels.ts';

const NOON = Date.UTC(2031, 2, 4, 12);

/** No null of a stream, and what a decimal text brings back as it was. */
const reading = fc.oneof(
  fc.constant(Number.NaN),
  fc.integer({ min: 0, max: 2_000_000 }).map((thousandths) => thousandths / 1000),
);

/** Samples a second apart, two or more, every channel at its whim. */
export const sampleRows: fc.Arbitrary<Sample[]> = fc
  .array(fc.array(reading, { minLength: CHANNEL_IDS.length, maxLength: CHANNEL_IDS.length }), {
    minLength: 2,
    maxLength: 12,
  })
  .map((rows) =>
    rows.map((values, i) => {
      const ms = NOON + i * 1000;
      const sample = emptySample(ms, ms);
      CHANNEL_IDS.forEach((id, k) => {
        sample[id] = id === 'inSlips' && !Number.isNaN(values[k]!) ? Math.min(1, Math.floor(values[k]!)) : values[k]!;
      });
      return sample;
    }),
  );
