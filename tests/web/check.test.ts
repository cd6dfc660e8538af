/** The check as the page writes and draws it. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Check } from '../../src/check/checkSchema.ts';
import { findingsToShow, shareInWords, writtenIn } from '../../web/check/checkWords.ts';
import { holeRows, holeScale } from '../../web/check/holeScale.ts';

const plain = (text: string): string => text.replaceAll('\u202f', '');

/** 1 ft = 0.3048 m exactly; 1 psi = 6.894757 kPa (NIST SP 811, B.8). */
test('numbers of the plan in the viewer’s units', () => {
  const metric = { units: 'metric' } as const;
  const field = { units: 'field' } as const;
  expect(plain(writtenIn(metric, 'metric').with('length', 2434.8))).toBe('2434.80 m');
  expect(plain(writtenIn(metric, 'field').with('length', 2434.8))).toBe('7988.2 ft');
  expect(plain(writtenIn(field, 'metric').of('pressure', 1000))).toBe('6895');
  expect(plain(writtenIn(field, 'field').with('pressure', 1000))).toBe('1000 psi');
  expect(writtenIn(metric, 'field').of('flow', null)).toBe('–');
  expect(writtenIn(field, 'field').inside('length', 1)).toBe(0.3048);
});

test.each([
  [null, '–'],
  [0, '0'],
  [0.0001, '<1'],
  [0.0422, '4'],
  [0.996, '>99'],
  [1, '100'],
])('a share of %j reads %s', (share, says) => {
  expect(shareInWords(share)).toBe(says);
});

test('what only repeats the list of defaults and the caution is left out of the findings', () => {
  const check = {
    caution: 'Figures are advisory.',
    defaults: [{ place: 'limits.drift.share', value: 0.05, unit: '', what: 'share' }],
    findings: [
      { severity: 'stop', joint: 'S1', text: 'default to be confirmed: limits.drift.share 0.05' },
      { severity: 'note', joint: null, text: 'default to be confirmed: limits.drift.share 0.05, share' },
      { severity: 'note', joint: null, text: 'another note' },
      { severity: 'note', joint: null, text: 'Figures are advisory.' },
    ],
  } as unknown as Check;
  expect(findingsToShow(check).map(({ severity, text }) => [severity, text.slice(0, 7)])).toEqual([
    ['stop', 'default'],
    ['note', 'another'],
  ]);
});

describe('the hole to depth', () => {
  const joint = (from: number, to: number) => ({ from, to }) as Parameters<typeof holeRows>[0][number];

  test('true to depth, names in order and apart, inside the figure', () => {
    const lengths = fc.array(fc.tuple(fc.integer({ min: 2, max: 15 }), fc.integer({ min: 0, max: 60 })), {
      minLength: 1,
      maxLength: 60,
    });
    fc.assert(
      fc.property(lengths, (list) => {
        let depth = 2400;
        const joints = list.map(([length, apart]) => {
          const from = depth + apart;
          depth = from + length;
          return joint(from, depth);
        });
        const rows = holeRows(joints, (value) => value);
        const scale = holeScale(rows, [{ top: 2390, bottom: depth + 5 }]);
        const perM = scale.y(2401) - scale.y(2400);
        for (const row of rows)
          expect(scale.y(row.toM) - scale.y(row.fromM)).toBeCloseTo(perM * (row.toM - row.fromM), 6);
        scale.labels.forEach((at, i) => {
          if (i > 0) expect(at - scale.labels[i - 1]!).toBeGreaterThanOrEqual(17 - 1e-9);
          expect(at).toBeLessThanOrEqual(scale.height);
        });
        expect(scale.y(2390)).toBeGreaterThanOrEqual(0);
        expect(scale.y(depth + 5)).toBeLessThanOrEqual(scale.height);
      }),
    );
  });

  test('of a hole in feet, to the same picture', () => {
    const feet = holeRows([joint(8000, 8040)], (value) => value * 0.3048);
    const metres = holeRows([joint(8000 * 0.3048, 8040 * 0.3048)], (value) => value);
    expect(holeScale(feet, []).labels).toEqual(holeScale(metres, []).labels);
  });
});
