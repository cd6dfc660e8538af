/** Arbitrary trace rows for the property tests: irregular times, holes of both kinds, every combination of breaches. */
import fc from 'fast-check';
import { TRACE_COLUMNS, type TraceRow } from '../../src/live/messages.ts';
import { VALUE_COLUMNS } from '../../src/traces/traceStore.ts';

const stepMs = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: 900, max: 1100 }) },
  { weight: 2, arbitrary: fc.integer({ min: 1, max: 5_000 }) },
  { weight: 1, arbitrary: fc.integer({ min: 5_001, max: 600_000 }) },
);
const value = fc.oneof(
  { weight: 8, arbitrary: fc.double({ min: -5_000, max: 40_000, noNaN: true }) },
  { weight: 1, arbitrary: fc.constant(null) },
);
const breach = fc.oneof(
  { weight: 5, arbitrary: fc.constant(0) },
  { weight: 1, arbitrary: fc.integer({ max: 31, min: 0 }) },
);

/** Runs of rows; long ones repeat a drawn pattern of values so that all levels of the pyramid come into play. */
export const runOfRows = (longest: number): fc.Arbitrary<TraceRow[]> =>
  fc
    .record({
      startMs: fc.integer({ min: 0, max: 2e12 }),
      pattern: fc.array(
        fc.tuple(stepMs, fc.array(value, { minLength: VALUE_COLUMNS.length, maxLength: VALUE_COLUMNS.length }), breach),
        {
          minLength: 1,
          maxLength: 60,
        },
      ),
      length: fc.integer({ min: 1, max: longest }),
    })
    .map(({ startMs, pattern, length }) => {
      let ms = startMs;
      return Array.from({ length }, (_, i): TraceRow => {
        const [step, values, bits] = pattern[i % pattern.length]!;
        ms += step;
        const drift = Math.floor(i / pattern.length) * (i % 2 === 0 ? 1 : -1);
        const moved = values.map((v) => (v === null ? null : v + drift));
        return [ms, ...moved, (i * 7) % 11 === 0 ? bits : 0];
      });
    });

export const breachOf = (row: TraceRow): number => row[TRACE_COLUMNS.length - 1] ?? 0;
export const msOf = (row: TraceRow): number => row[0]!;
export const readingOf = (row: TraceRow, column: number): number => Math.fround(row[column + 1] ?? Number.NaN);
export const COLUMN_COUNT = VALUE_COLUMNS.length;
