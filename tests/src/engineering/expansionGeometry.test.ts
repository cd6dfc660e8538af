/** Expansion geometry: worked numbers, and what must hold for any diameters. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  annularCapacityM2,
  elastomerSqueeze,
  expansionShare,
  holeAreaM2,
  ovality,
  radialGapMm,
} from '../../../src/engineering/expansionGeometry.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const inch = (value: number) => toInside(value, 'in');
/** m³/m as barrels a foot. */
const bblPerFt = (m2: number) => fromInside(m2 * toInside(1, 'ft'), 'bbl');

describe('own: a hole of 8.5 by 9.5 in', () => {
  const areaIn2 = (a: number, b: number) => holeAreaM2(inch(a), inch(b)) / (0.0254 * 0.0254);
  it('has the area of its ellipse, 63.4209 in²', () => expect(areaIn2(8.5, 9.5)).toBeCloseTo(63.4209, 4));
  it('not that of the mean circle, 0.31 % more', () => {
    expect(areaIn2(9, 9)).toBeCloseTo(63.6173, 4);
    expect(areaIn2(9, 9) / areaIn2(8.5, 9.5) - 1).toBeCloseTo(0.0031, 4);
  });
  it('has an ovality of 11.1 %', () => expect(ovality(inch(8.5), inch(9.5))).toBeCloseTo(0.111, 3));
});

describe('own: 5.5 in expanded to 8.1 in, in a hole of 8.5 in', () => {
  it('is 47.27 % of outside diameter', () => expect(100 * expansionShare(5.5, 8.1)).toBeCloseTo(47.27, 2));
  it('takes the annulus from 0.040800 to 0.006450 bbl/ft', () => {
    expect(bblPerFt(annularCapacityM2(inch(8.5), inch(5.5)))).toBeCloseTo(0.0408, 5);
    expect(bblPerFt(annularCapacityM2(inch(8.5), inch(8.1)))).toBeCloseTo(0.00645, 5);
  });
  it('closes 1.3740 bbl over a joint of 40 ft', () => {
    const closed = annularCapacityM2(inch(8.5), inch(5.5)) - annularCapacityM2(inch(8.5), inch(8.1));
    expect(40 * bblPerFt(closed)).toBeCloseTo(1.374, 3);
  });
  it('leaves 0.2 in to the wall', () => expect(radialGapMm(inch(8.5), inch(8.1))).toBeCloseTo(inch(0.2), 9));
});

describe('own: elastomer of 6 mm', () => {
  it.each([
    [6, 0],
    [7, 0],
    [4.5, 0.25],
    [0, 1],
    [-1, 1],
  ])('in a gap of %d mm is squeezed by %d', (gap, share) => expect(elastomerSqueeze(6, gap)).toBe(share));
});

it('own: a round hole has no ovality, and no ellipse more area than the circle of its mean', () => {
  const diameter = fc.double({ min: 50, max: 1500, noNaN: true });
  fc.assert(
    fc.property(diameter, diameter, (a, b) => {
      const mean = (a + b) / 2;
      expect(ovality(a, a)).toBe(0);
      expect(holeAreaM2(a, b)).toBeLessThanOrEqual(holeAreaM2(mean, mean) * (1 + 1e-12));
      expect(holeAreaM2(a, b)).toBeCloseTo(holeAreaM2(b, a), 12);
    }),
  );
});
