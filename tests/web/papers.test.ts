import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { MEASURE_NAMES } from '../../src/together/measures.ts';
import { rigDate, rigTime } from '../../web/figures.ts';
import { measureText, measureUnit, whyOdd } from '../../web/papers/measureText.ts';
import { rigInstant } from '../../web/papers/rigInstant.ts';

test.each([
  ['2031-05-12 04:10:00', 0, '2031-05-12T04:10:00.000Z'],
  [' 2031-05-12 4:10 ', 3_600_000, '2031-05-12T03:10:00.000Z'],
  ['2031-05-12T04:10:05', -19_800_000, '2031-05-12T09:40:05.000Z'],
  ['2031-02-29 04:10:00', 0, null],
  ['2031-05-12 24:00:00', 0, null],
  ['2031-05-12 04:60:00', 0, null],
  ['12.05.2031 04:10', 0, null],
  ['yesterday', 0, null],
  ['', 0, null],
])('%j at %i ms from UTC is %j', (text, offsetMs, wanted) => {
  expect(rigInstant(text, offsetMs)).toBe(wanted);
});

test('what a clock shows is read back to the second, whatever the zone', () => {
  const ms = fc.integer({ min: Date.UTC(2000, 0), max: Date.UTC(2090, 0) });
  fc.assert(
    fc.property(ms, fc.integer({ min: -56, max: 56 }), (at, quarters) => {
      const offsetMs = quarters * 900_000;
      const whole = Math.floor(at / 1000) * 1000;
      expect(rigInstant(`${rigDate(whole, offsetMs)} ${rigTime(whole, offsetMs)}`, offsetMs)).toBe(
        new Date(whole).toISOString(),
      );
    }),
  );
});

test('measures stand in the units that the viewer chose, unknown as a dash', () => {
  for (const measure of MEASURE_NAMES) {
    expect(measureText(measure, null, 'metric')).toBe('–');
    expect(measureText(measure, 1, 'field')).toMatch(/^\d/);
  }
  const odd = { run: 'a', joint: 'S4', kind: 'screen', score: 9, count: 12, value: 3.048, median: 1.524 } as const;
  expect(whyOdd({ ...odd, measure: 'feed', why: '' }, 'field')).toBe(
    'mean feed 10.0 ft/min, above the 5.0 ft/min that is usual of 12 screen joints',
  );
  expect(measureUnit('pressure', 'field')).toBe('psi');
  expect(whyOdd({ ...odd, measure: 'stalls', value: 0, median: 2, why: '' }, 'field')).toBe(
    'stalls 0, below the 2 that is usual of 12 screen joints',
  );
});
