/** Reynolds number, regimes and friction factors against published worked examples. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nominalShearRate, type Shape, wallStressPa } from '../../../src/engineering/laminarLoss.ts';
import { type FlowCurve, fitRheology, shearRateAt, shearStressPa } from '../../../src/engineering/rheology.ts';
import { friction, reynolds, turbulentIndex } from '../../../src/engineering/turbulentLoss.ts';
import { toInside } from '../../../src/units.ts';
import { binghamOfField, newtonian, powerLawOfEqCp, relative } from './fieldCase.ts';

/** Our Reynolds number of field inputs: ft/s, in, lbm/gal. */
function re(curve: FlowCurve, shape: Shape, ftPerS: number, inches: number, ppg: number): number {
  const velocity = ftPerS * 0.3048;
  const stress = wallStressPa(curve, shape, nominalShearRate(shape, velocity, inches * 0.0254));
  return reynolds(toInside(ppg, 'ppg'), velocity, stress);
}

describe('Reynolds number', () => {
  test('Newtonian pipe: ρ V D / μ, 928 in field units (G&L, API RP 13D)', () => {
    expect(relative(re(newtonian(10), 'pipe', 8, 4, 10), (928 * 10 * 8 * 4) / 10)).toBeLessThan(1e-3);
  });

  test('Newtonian annulus: two thirds of the 928 (D2 − D1) V ρ / μ of the API RP 13D sheet, whose laminar line is 24/Re', () => {
    const sheet = (928 * 10 * 2.5 * 4) / 10;
    expect(relative(1.5 * re(newtonian(10), 'annulus', 2.5, 4, 10), sheet)).toBeLessThan(1e-3);
    expect(relative(friction(900, 1).factor, 24 / (1.5 * 900))).toBeLessThan(1e-12);
  });

  // The 757 and 109,000 of the textbooks stand for a pipe of 0.816 (D2 − D1); they must not be mixed with the 928.
  const TEXTBOOK = 1 / 0.816;
  test.each<[source: string, mine: number, printed: number, within: number]>([
    [
      'G&L, Applied Drilling Circulation Systems (2011), Illustrative example 2.6, drill pipe',
      re(powerLawOfEqCp(0.8, 20), 'pipe', 8.37, 3.826, 10.5),
      43_258,
      5e-3,
    ],
    [
      'G&L (2011), Illustrative example 2.6, drill collar',
      re(powerLawOfEqCp(0.8, 20), 'pipe', 24.2, 2.25, 10.5),
      101_140,
      5e-3,
    ],
    [
      'G&L (2011), Illustrative example 2.6, annulus 8.5 × 4.5',
      TEXTBOOK * re(powerLawOfEqCp(0.8, 20), 'annulus', 2.36, 4, 10.5),
      8544,
      5e-3,
    ],
    [
      'G&L (2011), Illustrative example 2.6, annulus 8.5 × 6.75',
      TEXTBOOK * re(powerLawOfEqCp(0.8, 20), 'annulus', 4.59, 1.75, 10.5),
      9798,
      5e-3,
    ],
    [
      'from memory: BMCY, Bingham annulus example 6.5 × 4.5, by its apparent viscosity of 53.5 cP',
      TEXTBOOK * re(binghamOfField(40, 15), 'annulus', 11.14, 2, 10),
      3154,
      5e-3,
    ],
    [
      'from memory: BMCY, power-law cement example, annulus 9.625 × 7.0',
      TEXTBOOK * re(powerLawOfEqCp(0.67, 335), 'annulus', 6.294, 2.625, 15.6),
      3612,
      5e-3,
    ],
  ])('%s', (_source, mine, printed, within) => {
    expect(relative(mine, printed)).toBeLessThan(within);
  });
});

describe('API RP 13D example mud (65, 39, 20, 3 at 600, 300, 100, 3 rpm) in 3.78 in pipe, 280 gpm, 12.5 lbm/gal', () => {
  const fit = fitRheology({ 600: 65, 300: 39 }, 'power law');
  const curve = fit.kind === 'fitted' ? fit.chosen.curve : undefined;
  const velocity = (0.408 * 280) / 3.78 ** 2;
  const number = re(curve!, 'pipe', velocity, 3.78, 12.5);

  test('from memory: V 8.00 ft/s, Re 6,616', () => {
    expect(velocity).toBeCloseTo(8, 2);
    expect(relative(number, 6616)).toBeLessThan(3e-3);
  });

  test('own, by the API RP 13D equation sheet: f 0.007126', () => {
    expect(turbulentIndex(curve!)).toBeCloseTo(0.737, 3);
    expect(relative(friction(number, turbulentIndex(curve!)).factor, 0.007126)).toBeLessThan(1e-3);
  });
});

describe('regimes', () => {
  test('G&L (2011), Illustrative example 2.6: with n 0.8 laminar ends at 2,374 and turbulence starts at 3,174', () => {
    expect(friction(2374, 0.8).regime).toBe('laminar');
    expect(friction(2375, 0.8).regime).toBe('transitional');
    expect(friction(3173, 0.8).regime).toBe('transitional');
    expect(friction(3174, 0.8).regime).toBe('turbulent');
  });

  test('a public drilling fluids manual (2006): halfway through the transition f is halfway', () => {
    const ends = 16 / 2374 + (Math.log10(0.8) + 3.93) / 50 / 3174 ** ((1.75 - Math.log10(0.8)) / 7);
    expect(friction(2774, 0.8).factor).toBeCloseTo(ends / 2, 10);
  });

  const anyIndex = fc.double({ min: 0.36, max: 1, noNaN: true });

  test('no step at either end of the transition', () => {
    fc.assert(
      fc.property(anyIndex, (n) => {
        for (const end of [3470 - 1370 * n, 4270 - 1370 * n]) {
          expect(relative(friction(end * (1 + 1e-9), n).factor, friction(end * (1 - 1e-9), n).factor)).toBeLessThan(
            1e-7,
          );
        }
      }),
    );
  });

  test('f Re never falls with Re, and f is at least the laminar one: turbulence never costs less', () => {
    fc.assert(
      fc.property(anyIndex, fc.double({ min: 1, max: 2e5, noNaN: true }), (n, number) => {
        expect(friction(number, n).factor).toBeGreaterThanOrEqual((16 / number) * (1 - 1e-12));
        expect(friction(number * 1.01, n).factor * number * 1.01).toBeGreaterThanOrEqual(
          friction(number, n).factor * number * (1 - 1e-12),
        );
      }),
    );
  });

  test('for n 1 the turbulent line is that of Blasius, 0.0791 / Re^0.25 (G&L), within 1 %', () => {
    for (const number of [4000, 20_000, 100_000]) {
      expect(relative(friction(number, 1).factor, 0.0791 / number ** 0.25)).toBeLessThan(0.01);
    }
  });
});

describe('index of turbulent flow', () => {
  test('is n of a power law, and 1 of a Newtonian fluid', () => {
    expect(turbulentIndex(powerLawOfEqCp(0.62, 300))).toBeCloseTo(0.62, 12);
    expect(turbulentIndex(newtonian(20))).toBeCloseTo(1, 12);
  });

  test('is the slope between 600 and 300 rpm of a fluid with a yield stress: dials 50 and 30 are log2 (50 / 30)', () => {
    const fit = fitRheology({ 600: 50, 300: 30 }, 'bingham');
    expect(fit.kind === 'fitted' && turbulentIndex(fit.chosen.curve)).toBeCloseTo(Math.log2(50 / 30), 9);
  });

  test('stays within what was measured', () => {
    const thick = binghamOfField(2, 60);
    expect(Math.log2(shearStressPa(thick, shearRateAt(600)) / shearStressPa(thick, shearRateAt(300)))).toBeLessThan(
      0.36,
    );
    expect(turbulentIndex(thick)).toBe(0.36);
  });
});
