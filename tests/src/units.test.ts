/** Conversions against mathjs, an independent unit library, and against the exact definitions of NIST SP 811 (2008). */

import * as fc from 'fast-check';
import { create, type Unit as MathUnit, unitDependencies } from 'mathjs';
import { describe, expect, it } from 'vitest';
import {
  converter,
  fromInside,
  QUANTITIES,
  type Quantity,
  SYSTEM_UNITS,
  toInside,
  UNIT_NAMES,
  UNITS,
  type UnitName,
} from '../../src/units.ts';

const { unit } = create({ ...unitDependencies });

/** Ours, and the same in the words of mathjs. Its `bbl` is a beer barrel: the oil barrel is `oilbarrel`; it has no lbf·ft, so that is composed. */
const IN_MATHJS: Partial<Record<UnitName, string>> = {
  m: 'm',
  ft: 'ft',
  mm: 'mm',
  in: 'inch',
  kPa: 'kPa',
  bar: 'bar',
  MPa: 'MPa',
  psi: 'psi',
  kN: 'kN',
  kdaN: '10 kN',
  klbf: '1000 lbf',
  lbf: 'lbf',
  kN·m: 'kN m',
  kft·lbf: '1000 lbf ft',
  ft·lbf: 'lbf ft',
  'L/min': 'L / minute',
  gpm: 'gallon / minute',
  bpm: 'oilbarrel / minute',
  'm³/min': 'm^3 / minute',
  'm/min': 'm / minute',
  'ft/min': 'ft / minute',
  'm/h': 'm / hour',
  'ft/h': 'ft / hour',
  'kg/m³': 'kg / m^3',
  ppg: 'lbm / gallon',
  'lb/ft³': 'lbm / ft^3',
  'm³': 'm^3',
  bbl: 'oilbarrel',
  '°C': 'degC',
  '°F': 'degF',
  'mm²': 'mm^2',
  'in²': 'sqin',
  'kg/m': 'kg / m',
  'lb/ft': 'lbm / ft',
  'L/stroke': 'L',
  'bbl/stroke': 'oilbarrel',
  L: 'L',
  gal: 'gallon',
};
/** What mathjs has no unit for, with the reason why ours is right all the same. */
const NOT_IN_MATHJS: Partial<Record<UnitName, [scale: number, why: string]>> = {
  t: [9.80665, 'a mass of 1000 kg at standard gravity, 9.80665 m/s² (NIST SP 811, B.8: exact)'],
  rpm: [1, 'shown as it comes'],
  spm: [1, 'shown as it comes'],
  '%': [1, 'shown as it comes'],
  '1': [1, 'a bare number'],
};

const asMathUnit = (value: number, text: string): MathUnit => {
  const factor = /^(\d+) (.+)$/.exec(text);
  return factor ? unit(value * Number(factor[1]), factor[2]!) : unit(value, text);
};

function inMathjs(value: number, name: UnitName): number {
  const inside = SYSTEM_UNITS.metric[UNITS[name].quantity];
  return asMathUnit(value, IN_MATHJS[name]!).toNumber(IN_MATHJS[inside]!);
}

describe('units against mathjs', () => {
  it('every unit is checked, against mathjs or against its definition', () => {
    const checked = [...Object.keys(IN_MATHJS), ...Object.keys(NOT_IN_MATHJS)].sort();
    expect(checked).toEqual([...UNIT_NAMES].sort());
  });

  it.each(Object.keys(IN_MATHJS) as UnitName[])('%s', (name) => {
    for (const value of [1, 0.37, -12.5, 98765.4]) {
      const theirs = inMathjs(value, name);
      const ours = toInside(value, name);
      expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(1e-9 * Math.max(1e-9, Math.abs(theirs)));
    }
  });

  it.each(Object.entries(NOT_IN_MATHJS))('%s by definition', (name, [scale]) => {
    expect(toInside(1, name as UnitName)).toBe(scale);
  });
});

describe('NIST SP 811 (2008), appendix B.8, as printed', () => {
  it.each<[string, number, UnitName, number, number]>([
    ['1 ft = 3.048 E-01 m (exact)', 1, 'ft', 0.3048, 0],
    ['1 in = 2.54 E+01 mm (exact)', 1, 'in', 25.4, 1e-12],
    ['1 psi = 6.894757 E+00 kPa', 1, 'psi', 6.894757, 5e-7],
    ['1 lbf = 4.448222 E-03 kN', 1, 'lbf', 4.448222e-3, 5e-10],
    ['1 lbf·ft = 1.355818 E-03 kN·m', 1, 'ft·lbf', 1.355818e-3, 5e-10],
    ['1 gal (U.S.) = 3.785412 L', 1, 'gpm', 3.785412, 5e-7],
    ['1 barrel of 42 U.S. gal = 1.589873 E-01 m³', 1, 'bbl', 0.1589873, 5e-8],
    ['1 lb/gal (U.S.) = 1.198264 E+02 kg/m³', 1, 'ppg', 119.8264, 5e-5],
    ['1 lb/ft³ = 1.601846 E+01 kg/m³', 1, 'lb/ft³', 16.01846, 5e-6],
  ])('%s', (_printed, value, name, inside, within) => {
    expect(Math.abs(toInside(value, name) - inside)).toBeLessThanOrEqual(within);
  });

  it('the freezing and the boiling point of water, and where the scales meet', () => {
    expect(toInside(32, '°F')).toBeCloseTo(0, 12);
    expect(toInside(212, '°F')).toBeCloseTo(100, 12);
    expect(toInside(-40, '°F')).toBeCloseTo(-40, 12);
  });
});

describe('both directions', () => {
  it('there and back is where it was', () => {
    fc.assert(
      fc.property(fc.constantFrom(...UNIT_NAMES), fc.double({ min: -1e6, max: 1e6, noNaN: true }), (name, value) => {
        expect(Math.abs(fromInside(toInside(value, name), name) - value)).toBeLessThanOrEqual(
          1e-9 * Math.max(100, Math.abs(value)),
        );
      }),
    );
  });

  it.each(['metric', 'field'] as const)(
    'the %s system has a unit of the right quantity for every quantity',
    (system) => {
      expect(Object.keys(SYSTEM_UNITS[system]).sort()).toEqual([...QUANTITIES].sort());
      const units = converter(system);
      for (const quantity of QUANTITIES) {
        expect(UNITS[SYSTEM_UNITS[system][quantity]].quantity, quantity).toBe(quantity);
        expect(units.out(quantity, units.in(quantity, 12.5))).toBeCloseTo(12.5, 9);
      }
    },
  );

  it('inside is metric: that system changes nothing', () => {
    const units = converter('metric');
    for (const quantity of QUANTITIES) expect(units.in(quantity, 12.5), quantity).toBe(12.5);
  });

  it('the field system by its promised units', () => {
    const units = converter('field');
    const labels = (
      [
        'length',
        'diameter',
        'pressure',
        'force',
        'torque',
        'flow',
        'rotation',
        'feed',
        'density',
        'volume',
        'temperature',
      ] satisfies Quantity[]
    ).map((q) => units.label(q));
    expect(labels).toEqual(['ft', 'in', 'psi', 'klbf', 'kft·lbf', 'gpm', 'rpm', 'ft/min', 'ppg', 'bbl', '°F']);
  });
});
