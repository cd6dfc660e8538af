import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ageParts, decimal, figure, offsetLabel, percent, rigTime, span } from '../../web/figures.ts';

const THIN = '\u202f';

describe('figure', () => {
  test.each([
    ['pressure', 9140, 'metric', `9${THIN}140`],
    // 1 psi = 6.894757 kPa (NIST SP 811, B.8)
    ['pressure', 6894.757, 'field', `1${THIN}000`],
    ['length', 2467.9, 'metric', `2${THIN}467.90`],
    ['length', 304.8, 'field', `1${THIN}000.0`],
    ['feed', -4.2, 'metric', '\u22124.20'],
    ['feed', -0.001, 'metric', '0.00'],
    ['torque', null, 'metric', '–'],
    ['torque', Number.NaN, 'field', '–'],
  ] as const)('%s of %s in %s reads %s', (quantity, value, system, text) => {
    expect(figure(quantity, value, system)).toBe(text);
  });

  test('read back, it is the number it came from, to half its last digit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e7, max: 1e7, noNaN: true }),
        fc.integer({ min: 0, max: 4 }),
        (value, decimals) => {
          const back = Number(decimal(value, decimals).replaceAll(THIN, '').replace('\u2212', '-'));
          expect(Math.abs(back - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-6);
        },
      ),
    );
  });
});

test('a share short of the whole never reads 100.0', () => {
  expect(percent(0.99999)).toBe('99.9');
  expect(percent(1)).toBe('100.0');
  expect(percent(0.806)).toBe('80.6');
});

test.each([
  [0.84, '0.8 s', '0.8', 's'],
  [42.9, '42 s', '42', 's'],
  [185, '3 min 05 s', '3:05', 'min'],
  [8073, '2 h 14 min', '2:14:33', 'h'],
])('%d s reads %s', (seconds, words, number, unit) => {
  expect(span(seconds)).toBe(words);
  expect(ageParts(seconds)).toEqual({ number, unit });
});

test('the rig clock is UTC and the offset of the plan', () => {
  const ms = Date.UTC(2031, 2, 4, 23, 30, 5);
  expect(rigTime(ms, 3_600_000)).toBe('00:30:05');
  expect([0, 3_600_000, -12_600_000].map(offsetLabel)).toEqual(['UTC', 'UTC+01:00', 'UTC\u221203:30']);
});
