import fc from 'fast-check';
import { expect, test } from 'vitest';
import { curveRuns, PIXEL } from '../../../src/sheet/curveRuns.ts';

const readings = fc.array(
  fc.oneof({ arbitrary: fc.double({ min: 0, max: 100, noNaN: true }), weight: 9 }, fc.constant(Number.NaN)),
  {
    maxLength: 400,
  },
);

test('no peak is lost, and a line ends wherever a reading is missing', () => {
  fc.assert(
    fc.property(readings, fc.double({ min: 0.001, max: 2, noNaN: true }), (values, apart) => {
      const runs = curveRuns(
        values.length,
        (i) => i * apart,
        (i) => values[i]!,
        false,
      );
      const drawn = runs.flatMap((run) => run.filter((_, i) => i % 2 === 1));
      const known = values.filter(Number.isFinite);
      expect(Math.max(...drawn, -1)).toBe(Math.max(...known, -1));
      expect(Math.min(...drawn, 1000)).toBe(Math.min(...known, 1000));
      // As many lines as there are stretches of readings.
      const stretches = values.filter((value, i) => Number.isFinite(value) && !Number.isFinite(values[i - 1])).length;
      expect(runs.length).toBe(stretches);
    }),
  );
});

test('72 h at 1 Hz across a sheet is a few thousand points', () => {
  const rows = 72 * 3600;
  const wide = 500;
  const runs = curveRuns(
    rows,
    (i) => (i / rows) * wide,
    (i) => Math.sin(i) * 50,
    false,
  );
  expect(runs).toHaveLength(1);
  expect(runs[0]!.length / 2).toBeLessThanOrEqual(4 * (wide / PIXEL + 1));
});

test('down the sheet, the other way round', () => {
  expect(
    curveRuns(
      3,
      (i) => 10 * i,
      (i) => i,
      true,
    ),
  ).toEqual([[0, 0, 1, 10, 2, 20]]);
});
