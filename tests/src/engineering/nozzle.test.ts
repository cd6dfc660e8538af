/** Nozzles against published worked examples; the constants in print differ by less than 0.1 % among themselves. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nozzleAreaMm2, nozzleDropKpa, nozzleFlowLPerMin, nozzlesAreaMm2 } from '../../../src/engineering/nozzle.ts';
import { fromInside, toInside } from '../../../src/units.ts';
import { relative } from './fieldCase.ts';

/** The drop in psi of field inputs, by way of the inside units. */
function dropPsi(gpm: number, in2: number, ppg: number, coefficient: number): number {
  const drop = nozzleDropKpa(toInside(gpm, 'gpm'), toInside(in2, 'in²'), toInside(ppg, 'ppg'), coefficient);
  return fromInside(drop, 'psi');
}

describe('pressure drop', () => {
  // By hand: 1200 L/min = 0.02 m³/s through 117 mm²: 1180 × 0.0004 / (2 × 0.9025 × 1.3689e-8) = 19.103 MPa.
  //          900 L/min = 0.015 m³/s through 140 mm²: 1180 × 0.000225 / (2 × 0.9025 × 1.96e-8) = 7.505 MPa.
  test.each([
    [1200, 117, 19_103],
    [900, 140, 7_505],
  ])('by hand: %d L/min through %d mm² drops %d kPa', (flow, area, expected) => {
    expect(nozzleDropKpa(flow, area, 1180, 0.95)).toBeCloseTo(expected, -1);
  });

  test('from memory: BMCY, Applied Drilling Engineering (1986), three 13/32 in at 12.0 lbm/gal, 400 gpm, Cd 0.95', () => {
    const area = nozzlesAreaMm2([13, 13, 13]);
    expect(fromInside(area, 'in²')).toBeCloseTo(0.3889, 4);
    expect(relative(dropPsi(400, fromInside(area, 'in²'), 12, 0.95), 1169)).toBeLessThan(1e-3);
  });

  // The field constant is rounded differently from print to print; the exact one, of the units alone, is 12,033.9.
  test.each<[constant: number, source: string]>([
    [12_031, 'G&L, Applied Drilling Circulation Systems (2011), eq 2.86'],
    [12_032, 'a public card of bit formulas; 8.311e-5 of BMCY (from memory) is the same'],
    [12_042, 'other manuals (from memory)'],
  ])('field form with %d, %s', (constant) => {
    const psi = (10.5 * 300 ** 2) / (constant * 0.95 ** 2 * 0.3 ** 2);
    expect(relative(dropPsi(300, 0.3, 10.5, 0.95), psi)).toBeLessThan(1e-3);
  });

  test('own: the constant of the field form, by the definitions of the units, is 12,033.9', () => {
    expect(1 / dropPsi(1, 1, 1, 1)).toBeCloseTo(12_033.9, 0);
  });

  test.each<[constant: number, source: string]>([
    [156, 'API RP 13D, equation sheet'],
    [156.5, 'Lapeyrouse, Formulas and Calculations'],
  ])('form in 32nds of an inch with %d ρ Q² / (Σ N²)², %s (which holds Cd 0.95)', (constant) => {
    const psi = (constant * 12 * 400 ** 2) / (3 * 13 ** 2) ** 2;
    const area = fromInside(nozzlesAreaMm2([13, 13, 13]), 'in²');
    expect(relative(dropPsi(400, area, 12, 0.95), psi)).toBeLessThan(5e-3);
  });

  test('Lapeyrouse, square law: 1,800 psi at 60 strokes a minute is 450 psi at 30', () => {
    const area = nozzleAreaMm2(60, toInside(1800, 'psi'), 1200, 0.95);
    expect(fromInside(nozzleDropKpa(30, area, 1200, 0.95), 'psi')).toBeCloseTo(450, 9);
  });
});

describe('area', () => {
  test.each<[sizes: number[], printed: number, source: string]>([
    [[10, 10, 10, 12, 12], 0.451, 'published example of total flow area, three 10/32 and two 12/32'],
    [[13, 13, 13], 0.3889, 'from memory: BMCY'],
  ])('%j in 32nds is %d in², %s', (sizes, printed) => {
    expect(Math.abs(fromInside(nozzlesAreaMm2(sizes), 'in²') - printed)).toBeLessThan(
      10 ** -(`${printed}`.length - 2) / 2,
    );
  });

  test('Σ N² / 1303.8 in², published form', () => {
    expect(relative(fromInside(nozzlesAreaMm2([9, 11, 14]), 'in²'), (81 + 121 + 196) / 1303.8)).toBeLessThan(1e-4);
  });

  test('no nozzle, no area', () => expect(nozzlesAreaMm2([])).toBe(0));

  test('A = 0.00912 q √(ρ / Δp) / Cd, G&L (2011), eq 4.15', () => {
    const area = nozzleAreaMm2(toInside(400, 'gpm'), toInside(1169, 'psi'), toInside(12, 'ppg'), 0.95);
    expect(relative(fromInside(area, 'in²'), (0.00912 * 400 * Math.sqrt(12 / 1169)) / 0.95)).toBeLessThan(1e-3);
  });
});

describe('flow for a wanted drop', () => {
  const gpmFor = (psi: number, in2: number, ppg: number) =>
    fromInside(nozzleFlowLPerMin(toInside(psi, 'psi'), toInside(in2, 'in²'), toInside(ppg, 'ppg'), 0.95), 'gpm');

  test('own: the BMCY example inverted, 1,169.26 psi is 400 gpm', () => {
    expect(relative(gpmFor(1169.26, 0.38886, 12), 400)).toBeLessThan(2e-4);
  });

  test('own: 0.25 in², 9.2 ppg, 1,200 psi is 297.5166 gpm by the constant 12,031', () => {
    expect(relative(gpmFor(1200, 0.25, 9.2), 297.5166)).toBeLessThan(2e-4);
    expect(dropPsi(297.5166, 0.25, 9.2, 0.95)).toBeCloseTo(1199.7, 1);
  });
});

test('drop, flow and area are inverses of each other', () => {
  const flow = fc.double({ min: 1, max: 10_000, noNaN: true });
  const area = fc.double({ min: 10, max: 5000, noNaN: true });
  const density = fc.double({ min: 700, max: 2500, noNaN: true });
  const coefficient = fc.double({ min: 0.6, max: 1.03, noNaN: true });
  fc.assert(
    fc.property(flow, area, density, coefficient, (q, a, rho, cd) => {
      const drop = nozzleDropKpa(q, a, rho, cd);
      expect(relative(nozzleFlowLPerMin(drop, a, rho, cd), q)).toBeLessThan(1e-12);
      expect(relative(nozzleAreaMm2(q, drop, rho, cd), a)).toBeLessThan(1e-12);
    }),
  );
});

test('without flow nothing drops, and no drop needs no flow', () => {
  expect(nozzleDropKpa(0, 140, 1180, 0.95)).toBe(0);
  expect(nozzleFlowLPerMin(0, 140, 1180, 0.95)).toBe(0);
});
