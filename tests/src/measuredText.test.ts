/** Words with measures in them: what is said in each system of units, and what is no such text. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inUnits, type Measure, type MeasuredText, measuredTextSchema } from '../../src/measuredText.ts';
import { QUANTITIES, type Quantity } from '../../src/units.ts';

const of = (quantity: Quantity, value: number, decimals: number): Measure => ({ quantity, value, decimals });

describe('in units', () => {
  it.each<[MeasuredText, string, string]>([
    // what is kept | metric | field (factors: NIST SP 811 (2008), B.8; worked by hand)
    ['plain words', 'plain words', 'plain words'],
    [[], '', ''],
    [['down to ', of('pressure', 6000, 0), ' there'], 'down to 6000 kPa there', 'down to 870 psi there'],
    [[of('length', 30.48, 2)], '30.48 m', '100.00 ft'],
    [[of('torque', 1.3558179483, 3)], '1.356 kN·m', '1.000 kft·lbf'],
    [[of('feed', 0.3048, 1)], '0.3 m/min', '1.0 ft/min'],
    [[of('temperature', 20, 0)], '20 °C', '68 °F'],
    [[of('rotation', 14.6, 0)], '15 rpm', '15 rpm'],
    [[of('pressure', -0.4, 0), of('length', -0.001, 2)], '0 kPa0.00 m', '0 psi0.00 ft'],
    [[of('count', 3, 0), ' of ', of('count', 5, 0)], '3 of 5', '3 of 5'],
  ])('%j', (text, metric, field) => {
    expect([inUnits(text, 'metric'), inUnits(text, 'field')]).toEqual([metric, field]);
  });

  it('words stay as they are, in their order, whatever stands between them', () => {
    fc.assert(
      fc.property(fc.array(fc.string()), fc.constantFrom('metric' as const, 'field' as const), (words, system) => {
        expect(inUnits(words, system)).toBe(words.join(''));
      }),
    );
  });
});

describe('the schema', () => {
  it('takes every text through JSON and back without a change', () => {
    const measure = fc.record({
      quantity: fc.constantFrom(...QUANTITIES),
      value: fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0),
      decimals: fc.integer({ min: 0, max: 6 }),
    });
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.array(fc.oneof(fc.string(), measure))), (text) => {
        const back = measuredTextSchema.parse(JSON.parse(JSON.stringify(text)));
        expect(inUnits(back, 'field')).toBe(inUnits(text, 'field'));
      }),
    );
  });

  it.each([
    ['a number', 5],
    ['nothing', null],
    ['a measure that stands alone', of('length', 1, 2)],
    ['a quantity that is none', [{ ...of('length', 1, 2), quantity: 'beauty' }]],
    ['a value that is none', [of('length', Number.NaN, 2)]],
    ['a value without end', [of('length', Number.POSITIVE_INFINITY, 2)]],
    ['a value in words', [{ ...of('length', 1, 2), value: '1' }]],
    ['decimals below none', [of('length', 1, -1)]],
    ['more decimals than are ever printed', [of('length', 1, 7)]],
    ['half a decimal', [of('length', 1, 1.5)]],
    ['a list in a list', [['words']]],
  ])('refuses %s', (_what, text) => {
    expect(measuredTextSchema.safeParse(text).success).toBe(false);
  });

  it.each([0, 6])('takes %d decimals', (decimals) => {
    expect(measuredTextSchema.safeParse([of('length', 1, decimals)]).success).toBe(true);
  });
});
