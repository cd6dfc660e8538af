import fc from 'fast-check';
import { expect, test } from 'vitest';
import { columnWidths } from '../../../src/sheet/columnWidths.ts';
import { measureAbout } from '../../support/sheetChecks.ts';

const SIZE = 8;
const COLUMNS = [
  { head: 'Joint' },
  { head: 'Depth', unit: 'm', align: 'right' },
  { head: 'When', whole: true },
  { head: 'Why' },
] as const;
const ROOM = 400;

test('the room is used up, and no number and no date is narrower than it is written', () => {
  const cell = fc.string({ unit: 'grapheme-ascii', maxLength: 200 });
  const row = fc.tuple(
    fc.string({ unit: 'grapheme-ascii', maxLength: 64 }),
    fc.stringMatching(/^\d{1,12}$/),
    fc.constant('2031-03-04 00:04:24'),
    cell,
  );
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 30 }), (rows) => {
      const widths = columnWidths(measureAbout, COLUMNS, rows, SIZE, ROOM);
      expect(widths.reduce((sum, one) => sum + one, 0)).toBeCloseTo(ROOM, 6);
      for (const [, number, date] of rows) {
        expect(measureAbout(number, SIZE, false)).toBeLessThanOrEqual(widths[1]!);
        expect(measureAbout(date, SIZE, false)).toBeLessThanOrEqual(widths[2]!);
      }
    }),
  );
});

test('a short name stays on its line beside a long reason', () => {
  const [name] = columnWidths(
    measureAbout,
    [{ head: 'By' }, { head: 'Reason' }],
    [['A. Person', 'word '.repeat(300)]],
    SIZE,
    ROOM,
  );
  expect(name).toBeGreaterThanOrEqual(measureAbout('A. Person', SIZE, false));
});

test('where words do not fit, the longest ones yield and the short ones stay whole', () => {
  const columns = ['a', 'b', 'c', 'd', 'e', 'f'].map((head) => ({ head }));
  const rows = [['record', 'x'.repeat(60), 'x'.repeat(60), 'x'.repeat(60), 'x'.repeat(60), 'x'.repeat(60)]];
  const widths = columnWidths(measureAbout, columns, rows, SIZE, 200);
  expect(widths[0]).toBeGreaterThanOrEqual(measureAbout('record', SIZE, false));
  expect(widths.reduce((sum, one) => sum + one, 0)).toBeCloseTo(200, 6);
});
