import * as fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { CHANNEL_IDS, emptySample, type Sample } from '../../../src/channels.ts';
import { columnBytes, packColumn, unpackColumn } from '../../../src/replay/columnPacking.ts';
import { createSampleColumns, createSampleReader, type SampleColumns } from '../../../src/replay/sampleColumns.ts';
import {
  BLOCK_ROWS,
  createSampleLog,
  decodeSamples,
  encodeSamples,
  logBytes,
  logSample,
} from '../../../src/replay/sampleWire.ts';
import { demoCourse, type ReadCourse } from '../../support/demoCourse.ts';

let demo: ReadCourse;
beforeAll(async () => {
  demo = await demoCourse();
});

const logged = (samples: readonly Sample[]) => {
  const log = createSampleLog();
  for (const sample of samples) logSample(log, sample);
  return log;
};

function decoded(bytes: Uint8Array, into: SampleColumns = createSampleColumns()): SampleColumns {
  expect(decodeSamples(bytes, into)).toMatchObject({ kind: 'samples' });
  return into;
}

const rowsOf = (columns: SampleColumns): Sample[] => {
  const at = createSampleReader(columns);
  return Array.from({ length: columns.rows }, (_, row) => ({ ...at(row) }));
};

/** A recorded sample has no arrival of its own: played again it arrives when it was measured. */
const asPlayed = (samples: readonly Sample[]) => samples.map((sample) => ({ ...sample, arrivalMs: sample.sourceMs }));

test('the demo trip comes back bit for bit, in less than a seventh of its size as numbers', () => {
  const bytes = encodeSamples(logged(demo.samples));
  expect(rowsOf(decoded(bytes))).toEqual(asPlayed(demo.samples));
  expect(bytes.length).toBeLessThan((demo.samples.length * (CHANNEL_IDS.length + 1) * 8) / 7);
});

const reading = fc.oneof(
  fc.constant(Number.NaN),
  fc.constant(-0),
  fc.integer({ min: -1e6, max: 1e6 }).map((n) => n / 100),
  fc.integer({ min: -1e5, max: 1e5 }).map((n) => (n / 10) * 6.894757293168361),
  fc.double(),
);

test('any column comes back bit for bit, NaN, infinities and −0 too', () => {
  const units = [{ scale: 6.894757293168361, offset: 0 }];
  fc.assert(
    fc.property(fc.oneof(fc.array(reading), fc.array(fc.integer({ min: 0, max: 2e5 }))), (list) => {
      const values = Float64Array.from(list);
      const bytes = packColumn(values, units);
      const out = new Float64Array(values.length);
      expect(unpackColumn(columnBytes(bytes), 0, values.length, out, 0)).toBe(bytes.length);
      expect([...out].every((value, i) => Object.is(value, values[i]))).toBe(true);
    }),
  );
});

test('any samples come back, and who has seen some of them is sent the rest', () => {
  const gap = fc.integer({ min: 1, max: 100_000 });
  const rows = fc.array(fc.record({ gap, values: fc.array(reading, { minLength: 20, maxLength: 20 }) }), {
    maxLength: 40,
  });
  fc.assert(
    fc.property(rows, fc.nat(3), (list, repeats) => {
      let ms = 1.9e12;
      const samples = Array.from({ length: 1 + repeats * 60 }).flatMap(() =>
        list.map(({ gap: apart, values }) => {
          ms += apart;
          const sample = emptySample(ms, ms);
          CHANNEL_IDS.forEach((id, c) => {
            sample[id] = values[c]!;
          });
          return sample;
        }),
      );
      const seen = Math.floor(samples.length / 2);
      const columns = decoded(encodeSamples(logged(samples.slice(0, seen))));
      const rest = encodeSamples(logged(samples), seen);
      expect(rowsOf(decoded(rest, columns))).toEqual(samples);
      const firstRow = new DataView(rest.buffer).getUint32(4, true);
      expect(firstRow).toBe(Math.floor(seen / BLOCK_ROWS) * BLOCK_ROWS);
    }),
    { numRuns: 30 },
  );
});

test('bytes that are cut or changed are refused or give some samples, and never throw', () => {
  const whole = encodeSamples(logged(demo.samples.slice(0, 500)));
  for (let length = 0; length < whole.length; length += 37) {
    expect(decodeSamples(whole.slice(0, length), createSampleColumns()).kind).toBe('bad');
  }
  fc.assert(
    fc.property(fc.nat(whole.length - 1), fc.integer({ min: 1, max: 255 }), (at, change) => {
      const bytes = whole.slice();
      bytes[at]! ^= change;
      const columns = createSampleColumns();
      const answer = decodeSamples(bytes, columns);
      if (answer.kind === 'bad') expect(columns.rows).toBeLessThanOrEqual(500);
      else for (let i = 1; i < columns.rows; i += 1) expect(columns.sourceMs[i]! > columns.sourceMs[i - 1]!).toBe(true);
    }),
  );
});

test('a log whose room is made at once takes no more for a long run than for a short one, and stops at its bound', () => {
  const log = createSampleLog(3 * BLOCK_ROWS + 7, 'whole');
  expect(logBytes(log)).toBe(0);
  const sizes = new Set<number>();
  let taken = 0;
  for (let row = 0; row < 4 * BLOCK_ROWS; row += 1) {
    const sample = emptySample(1.9e12 + row * 1000, 1.9e12);
    sample.bitDepth = 2000 + row / 100;
    sample.hookload = 900.5 + (row % 7);
    if (logSample(log, sample)) taken += 1;
    sizes.add(logBytes(log));
  }
  expect(taken).toBe(3 * BLOCK_ROWS + 7);
  expect(sizes.size).toBe(1);
  expect(decoded(encodeSamples(log)).rows).toBe(taken);
});

test('a stream that does not pack at all finds room all the same', () => {
  const log = createSampleLog(4 * BLOCK_ROWS, 'whole');
  const samples: Sample[] = [];
  for (let row = 0; row < 4 * BLOCK_ROWS; row += 1) {
    const sample = emptySample(1.9e12 + row * 1000, 1.9e12 + row * 1000);
    for (const [c, id] of CHANNEL_IDS.entries()) sample[id] = Math.sin(row * (c + 1)) * Math.PI;
    samples.push(sample);
    logSample(log, sample);
  }
  expect(rowsOf(decoded(encodeSamples(log)))).toEqual(samples);
});
