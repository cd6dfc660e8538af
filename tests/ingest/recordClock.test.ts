import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dateDays, daysSince1970, RecordClock, timeOfDayMs } from '../../ingest/wits/recordClock.ts';

const DAY_MS = 86_400_000;

test('days since 1970 are those of the calendar that Date keeps', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1970, max: 2069 }),
      fc.integer({ min: 0, max: 13 }),
      fc.integer({ min: 0, max: 32 }),
      (y, m, d) => {
        const date = new Date(Date.UTC(y, m - 1, d));
        const exists = date.getUTCMonth() === m - 1 && date.getUTCDate() === d;
        expect(daysSince1970(y, m, d)).toBe(exists ? date.getTime() / DAY_MS : Number.NaN);
      },
    ),
    { numRuns: 2000 },
  );
});

test.each([
  ['two-digit years from 70 on are of the 1900s', 700101, 0],
  ['and below of the 2000s', 190301, Date.UTC(2019, 2, 1) / DAY_MS],
  ['leading zeros are lost in a number', 101, Date.UTC(2000, 0, 1) / DAY_MS],
  ['four digits of the year', 20_310_304, Date.UTC(2031, 2, 4) / DAY_MS],
  ['no such day', 230_229, Number.NaN],
  ['no such month', 231_301, Number.NaN],
  ['nothing', 0, Number.NaN],
  ['a null', -9999, Number.NaN],
])('DATE: %s', (_, date, days) => {
  expect(dateDays(date)).toBe(days);
});

test.each([
  [1251, 12 * 60_000 + 51_000],
  [235959.5, DAY_MS - 500],
  [240000, Number.NaN],
  [126000, Number.NaN],
  [120060, Number.NaN],
  [-1, Number.NaN],
])('TIME %d', (time, ms) => {
  expect(timeOfDayMs(time)).toBe(ms);
});

test('the zone of the source is taken off', () => {
  const clock = new RecordClock(3_600_000);
  expect(clock.instant(1, 310304, 3000)).toBe(Date.UTC(2031, 2, 3, 23, 30));
});

test('without a date the last one holds, of the record first, else of any', () => {
  const clock = new RecordClock(0);
  expect(clock.instant(1, Number.NaN, 0)).toBeNaN();
  clock.instant(1, 310304, 235900);
  expect(clock.instant(5, Number.NaN, 235901)).toBe(Date.UTC(2031, 2, 4, 23, 59, 1));
  expect(clock.instant(1, Number.NaN, 10)).toBe(Date.UTC(2031, 2, 5, 0, 0, 10));
  expect(clock.instant(5, Number.NaN, 235902)).toBe(Date.UTC(2031, 2, 4, 23, 59, 2));
});
