import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numberText, roundStep, valueMarks, valueScale } from '../../web/traces/valueScale.ts';

describe('value scale', () => {
  it('holds every value, with few round marks inside its ends', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e5, max: 1e5, noNaN: true }),
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        fc.integer({ min: 2, max: 12 }),
        fc.boolean(),
        (low, length, parts, fromZero) => {
          const scale = valueScale(low, low + length, parts, fromZero, 0.5);
          const slack = scale.step * 1e-6;
          expect(scale.min).toBeLessThanOrEqual(low + slack);
          expect(scale.max).toBeGreaterThanOrEqual(low + length - slack);
          expect(scale.max - scale.min).toBeGreaterThanOrEqual(0.5 - slack);
          if (fromZero && low >= 0) expect(scale.min).toBe(0);
          const marks = valueMarks(scale);
          expect(marks.length).toBeLessThanOrEqual(parts + 3);
          for (const mark of marks) {
            expect(mark).toBeGreaterThanOrEqual(scale.min - slack);
            expect(mark).toBeLessThanOrEqual(scale.max + slack);
          }
        },
      ),
    );
  });

  it('has a scale for values that are not known', () => {
    expect(valueScale(Number.NaN, Number.NaN, 3, true, 10)).toMatchObject({ min: 0 });
  });

  it('steps are 1, 2, 2.5 or 5 times a power of ten, and no shorter than asked', () => {
    expect([1, 1.1, 2.3, 3, 7, 12, 0.03].map(roundStep)).toEqual([1, 2, 2.5, 5, 10, 20, 0.05]);
  });

  it('writes numbers with thousands apart and a real minus', () => {
    expect(numberText(12345.678, 1)).toBe('12\u202f345.7');
    expect(numberText(-1234, 0)).toBe('−1\u202f234');
    expect(numberText(-0.04, 1)).toBe('0.0');
    expect(numberText(999, 0)).toBe('999');
    expect(numberText(Number.NaN, 1)).toBe('–');
  });
});
