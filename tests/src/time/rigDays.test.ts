import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dayStart, type OffsetFrom, offsetAt, rigDays } from '../../../src/time/rigDays.ts';
import { rigTimeText } from '../../../src/time/rigTime.ts';

const HOUR = 3600_000;
const DAY = 24 * HOUR;
const at = (text: string): number => Date.parse(text);
const from = (fromMs: number, hours: number): OffsetFrom => ({ fromMs, offsetMs: hours * HOUR });
const shown = (offsets: OffsetFrom[], cutHours: number, begin: string, end: string) =>
  rigDays(offsets, cutHours * HOUR, at(begin), at(end)).map(({ date, fromMs, toMs }) => [
    date,
    rigTimeText(fromMs, offsetAt(offsets, fromMs)),
    (toMs - fromMs) / HOUR,
  ]);

describe('worked by hand', () => {
  it('cut at 06:00 rig time, an hour ahead of UTC', () => {
    expect(shown([from(-Infinity, 1)], 6, '2031-03-04T04:30:00Z', '2031-03-05T06:00:00Z')).toEqual([
      ['2031-03-03', '2031-03-03T06:00:00.000+01:00', 24],
      ['2031-03-04', '2031-03-04T06:00:00.000+01:00', 24],
      ['2031-03-05', '2031-03-05T06:00:00.000+01:00', 24],
    ]);
  });

  it('a day in which the clocks are set forward has 23 hours, one in which they are set back 25', () => {
    const forward = [from(-Infinity, 1), from(at('2031-03-30T01:00:00Z'), 2)];
    expect(shown(forward, 6, '2031-03-29T12:00:00Z', '2031-03-30T12:00:00Z')).toEqual([
      ['2031-03-29', '2031-03-29T06:00:00.000+01:00', 23],
      ['2031-03-30', '2031-03-30T06:00:00.000+02:00', 24],
    ]);
    const back = [from(-Infinity, 2), from(at('2031-10-26T01:00:00Z'), 1)];
    expect(shown(back, 0, '2031-10-26T12:00:00Z', '2031-10-27T01:00:00Z')).toEqual([
      ['2031-10-26', '2031-10-26T00:00:00.000+02:00', 25],
      ['2031-10-27', '2031-10-27T00:00:00.000+01:00', 24],
    ]);
  });

  it('a cut that the clocks jump over lies where they were set, one that they pass twice at the first time', () => {
    const over = [from(-Infinity, 1), from(at('2031-03-04T04:30:00Z'), 2)];
    // 05:30 becomes 06:30.
    expect(dayStart(over, 6 * HOUR, at('2031-03-04T00:00:00Z') / DAY)).toBe(at('2031-03-04T04:30:00Z'));
    const twice = [from(-Infinity, 2), from(at('2031-03-04T04:30:00Z'), 1)];
    // 06:30 becomes 05:30.
    expect(dayStart(twice, 6 * HOUR, at('2031-03-04T00:00:00Z') / DAY)).toBe(at('2031-03-04T04:00:00Z'));
  });
});

it('every instant is in exactly one day, and days follow one another, whatever the cut and the clocks', () => {
  const base = at('2031-03-04T00:00:00Z');
  const offsets = fc
    .uniqueArray(fc.integer({ min: 0, max: 10 * 24 * 60 }), { minLength: 0, maxLength: 4 })
    .chain((minutes) =>
      fc
        .array(fc.integer({ min: -14 * 4, max: 14 * 4 }), {
          minLength: minutes.length + 1,
          maxLength: minutes.length + 1,
        })
        .map((quarters) => {
          const sorted = [...minutes].sort((a, b) => a - b);
          return quarters.map((quarter, i) => ({
            fromMs: i === 0 ? -Infinity : base + sorted[i - 1]! * 60_000,
            offsetMs: (quarter * HOUR) / 4,
          }));
        }),
    );
  fc.assert(
    fc.property(
      offsets,
      fc.integer({ min: 0, max: 24 * 60 - 1 }),
      fc.integer({ min: 0, max: 8 * DAY }),
      fc.integer({ min: 1, max: 4 * DAY }),
      (clocks, cut, start, length) => {
        const [fromMs, toMs] = [base + start, base + start + length];
        const days = rigDays(clocks, cut * 60_000, fromMs, toMs);
        expect(days[0]!.fromMs).toBeLessThanOrEqual(fromMs);
        expect(days.at(-1)!.toMs).toBeGreaterThanOrEqual(toMs);
        for (let i = 1; i < days.length; i += 1) {
          expect(days[i]!.fromMs).toBe(days[i - 1]!.toMs);
          expect(days[i]!.date > days[i - 1]!.date).toBe(true);
        }
      },
    ),
  );
});

it('a day without a change of the clocks has 24 hours', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -56, max: 56 }),
      fc.integer({ min: 0, max: 1439 }),
      fc.nat(4 * DAY),
      (quarter, cut, ms) => {
        const days = rigDays([{ fromMs: -Infinity, offsetMs: (quarter * HOUR) / 4 }], cut * 60_000, ms, ms + DAY);
        for (const day of days) expect(day.toMs - day.fromMs).toBe(DAY);
      },
    ),
  );
});

it('rig time is the instant, and says how far it is from UTC', () => {
  expect(rigTimeText(at('2031-03-04T23:30:00.250Z'), HOUR)).toBe('2031-03-05T00:30:00.250+01:00');
  expect(rigTimeText(at('2031-03-04T01:00:00Z'), -3.5 * HOUR)).toBe('2031-03-03T21:30:00.000-03:30');
  fc.assert(
    fc.property(fc.integer({ min: -14 * 60, max: 14 * 60 }), fc.nat(4e12), (minutes, ms) => {
      expect(Date.parse(rigTimeText(ms, minutes * 60_000))).toBe(ms);
    }),
  );
});
