/** Buoyed weight and pipe data against printed examples. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  areaOfMassMm2,
  buoyancyFactor,
  buoyedWeightKn,
  plainEndMassKgM,
  STEEL_DENSITY_KG_M3,
  steelAreaMm2,
} from '../../../src/engineering/buoyancy.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const ppg = (value: number) => toInside(value, 'ppg');
const inch = (value: number) => toInside(value, 'in');
/** lb/ft in kg/m, NIST SP 811 (2008), appendix B.8: 1.488164. */
const lbFt = (value: number) => value * 1.4881639435695537;

describe('buoyancy', () => {
  it('Lapeyrouse 2nd ed. p. 20, 3rd ed. p. 24 (seen): 13.0 ppg, 350 klbf in air', () => {
    expect(buoyancyFactor(ppg(13))).toBeCloseTo(0.8015, 4);
    expect(350 * buoyancyFactor(ppg(13))).toBeCloseTo(280.5, 1);
  });

  it('Lapeyrouse (seen): 20 ppg, 10,000 ft of 25 lb/ft; the print rounds the factor first', () => {
    expect(buoyancyFactor(ppg(20))).toBeCloseTo(0.6947, 4);
    const weight = fromInside(buoyedWeightKn(lbFt(25), toInside(10_000, 'ft'), ppg(20)), 'lbf');
    expect(weight).toBeCloseTo(173_664, 0);
    expect(Math.abs(weight / 173_675 - 1)).toBeLessThan(1e-4);
  });

  it('a well-control formula sheet (seen) has 0.847095 at 10 ppg: steel of 65.4 ppg and not of 65.5', () => {
    expect(buoyancyFactor(ppg(10), ppg(65.4))).toBeCloseTo(0.847095, 6);
    expect(buoyancyFactor(ppg(10))).toBeCloseTo(0.847328, 6);
    expect(STEEL_DENSITY_KG_M3).toBeCloseTo(7848.63, 2);
  });

  it('own: 9.5 ppg, 3,000 m of plain-end 5 in 19.50, worked in field units', () => {
    const pounds = 2.67 * (5 ** 2 - 4.276 ** 2) * (3000 / 0.3048) * (1 - 9.5 / 65.5);
    const weight = buoyedWeightKn(plainEndMassKgM(inch(5), inch(4.276)), 3000, ppg(9.5));
    expect(Math.abs(fromInside(weight, 'lbf') / pounds - 1)).toBeLessThan(2e-3);
  });

  it('adds up over sections, and is none in a fluid as dense as the steel', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(number(1, 100), number(0, 3000), number(0, 3000), number(0, 2500), (mass, a, b, fluid) => {
        const whole = buoyedWeightKn(mass, a + b, fluid);
        expect(buoyedWeightKn(mass, a, fluid) + buoyedWeightKn(mass, b, fluid)).toBeCloseTo(whole, 6);
        expect(buoyedWeightKn(mass, a, STEEL_DENSITY_KG_M3)).toBeCloseTo(0, 9);
      }),
    );
  });
});

describe('plain pipe', () => {
  it.each<[string, number, number, number, number]>([
    // ID: public pipe tables (seen); plain-end weight and area: computed with 2.67 (OD² − ID²), Lapeyrouse (seen).
    ['3-1/2 13.30', 3.5, 2.764, 12.31, 3.621],
    ['4 14.00', 4, 3.34, 12.93, 3.805],
    ['4-1/2 16.60', 4.5, 3.826, 14.98, 4.407],
    // A public performance sheet (seen): 17.932 lb/ft, 5.275 in².
    ['5 19.50', 5, 4.276, 17.93, 5.275],
  ])('%s: plain-end weight and area', (_name, od, id, pounds, area) => {
    expect(Math.abs(plainEndMassKgM(inch(od), inch(id)) / lbFt(pounds) - 1)).toBeLessThan(2e-3);
    expect(fromInside(steelAreaMm2(inch(od), inch(id)), 'in²')).toBeCloseTo(area, 3);
  });

  it('a premium 5 in 19.50 sheet (seen): OD 4.855 in (ID + 2 × 0.8 wall), 14.121 lb/ft', () => {
    const premium = 4.276 + 2 * 0.8 * 0.362;
    expect(premium).toBeCloseTo(4.855, 3);
    expect(Math.abs(plainEndMassKgM(inch(premium), inch(4.276)) / lbFt(14.121) - 1)).toBeLessThan(2e-3);
  });

  it('tool joints weigh: 23.52 lb/ft adjusted over 17.932 plain-end (a public performance sheet, seen)', () => {
    expect(lbFt(23.52)).toBeGreaterThan(plainEndMassKgM(inch(5), inch(4.276)));
  });

  it('area and mass are each other turned round; Lapeyrouse (seen): w = 3.4 A', () => {
    const area = steelAreaMm2(inch(5), inch(4.276));
    expect(areaOfMassMm2(plainEndMassKgM(inch(5), inch(4.276)))).toBeCloseTo(area, 9);
    expect(Math.abs(areaOfMassMm2(lbFt(3.4)) / toInside(1, 'in²') - 1)).toBeLessThan(1e-3);
  });
});
