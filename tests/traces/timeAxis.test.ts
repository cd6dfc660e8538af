import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clockText,
  markText,
  momentText,
  offsetText,
  spanText,
  timeMarks,
  timeStepMs,
} from '../../web/traces/timeAxis.ts';

const H = 3_600_000;

describe('time axis', () => {
  it('marks are whole steps of the rig clock, inside the range, and far enough apart', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2e12 }),
        fc.integer({ min: 10_000, max: 14 * 24 * H }),
        fc.integer({ min: 120, max: 2000 }),
        fc.integer({ min: -14 * 4, max: 14 * 4 }).map((quarters) => quarters * 900_000),
        (fromMs, span, width, offset) => {
          const step = timeStepMs(span, width, 74);
          const marks = timeMarks(fromMs, fromMs + span, step, offset);
          expect(marks.length).toBe(marks.filter((ms) => ms >= fromMs && ms <= fromMs + span).length);
          for (const ms of marks) expect(Math.abs((ms + offset) % step)).toBe(0);
          if (step < 7 * 24 * H) expect((step / span) * width).toBeGreaterThanOrEqual(74 - 1e-6);
        },
      ),
    );
  });

  it('writes rig time, with the date at midnight', () => {
    const ms = Date.UTC(2031, 2, 3, 23, 5, 9);
    expect(clockText(ms, 0)).toBe('23:05:09');
    expect(momentText(ms, H)).toBe('4 Mar 00:05:09');
    expect(markText(Date.UTC(2031, 2, 3, 23), H, H)).toBe('4 Mar');
    expect(markText(ms, 600_000, 0)).toBe('23:05');
    expect(markText(ms, 1000, 0)).toBe('23:05:09');
    expect([0, H, -12_600_000].map(offsetText)).toEqual(['UTC+00:00', 'UTC+01:00', 'UTC−03:30']);
  });

  it('writes lengths of time in units that fit', () => {
    expect([45_000, 600_000, 2 * H, 2.5 * H].map(spanText)).toEqual(['45 s', '10 min', '2 h', '2 h 30 min']);
  });
});
