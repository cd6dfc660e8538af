/** Dials to flow curves: published two-point figures, recovery of known curves, the choice of the model. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  DIAL_SPEEDS,
  type Dials,
  type Fit,
  type FlowCurve,
  fieldFigures,
  fitRheology,
  RHEOLOGY_MODELS,
  type RheologyFit,
  type RheologyModel,
  shearRateAt,
  shearStressPa,
  stressOfDialPa,
} from '../../../src/engineering/rheology.ts';
import { relative } from './fieldCase.ts';

type Fitted = Extract<RheologyFit, { kind: 'fitted' }>;

function fitted(dials: Dials, set?: RheologyModel): Fitted {
  const fit = fitRheology(dials, set);
  if (fit.kind !== 'fitted') throw new Error(fit.problem);
  return fit;
}
const fitOf = (fit: Fitted, model: RheologyModel): Fit => fit.fits.find(({ curve }) => curve.model === model)!;

/** The dials that a curve would make, exact or read to the whole degree. */
function dialsOf(curve: FlowCurve, read: (degrees: number) => number = (degrees) => degrees): Dials {
  return Object.fromEntries(
    DIAL_SPEEDS.map((rpm) => [rpm, read(shearStressPa(curve, shearRateAt(rpm)) / stressOfDialPa(1))]),
  );
}

describe('two-point figures', () => {
  test('from memory: BMCY, dial 12 at 300 and 20 at 600: n 0.737, K 61.8 eq cP', () => {
    const figures = fieldFigures({ 600: 20, 300: 12 });
    expect(figures.n).toBeCloseTo(0.737, 3);
    expect(figures.consistencyEqCp).toBeCloseTo(61.8, 1);
  });

  test('PV = θ600 − θ300, YP = θ300 − PV (a public card of fluid formulas)', () => {
    expect(fieldFigures({ 600: 65, 300: 39 })).toMatchObject({ plasticViscosityCp: 26, yieldPointLbfPer100Ft2: 13 });
  });

  // The printed K mix rounded and unrounded exponents: 0.3 %.
  test('API RP 13D example mud 65/39/20/3 (from memory): np 0.737, Kp 2.017, na 0.541, Ka 6.346', () => {
    const figures = fieldFigures({ 600: 65, 300: 39, 100: 20, 3: 3 });
    expect(figures.pipeN).toBeCloseTo(0.737, 3);
    expect(figures.annulusN).toBeCloseTo(0.541, 3);
    expect(relative(figures.pipeConsistency!, 2.017)).toBeLessThan(3e-3);
    expect(relative(figures.annulusConsistency!, 6.346)).toBeLessThan(3e-3);
  });

  test('a figure whose dials are missing, or read nothing, is left out', () => {
    expect(fieldFigures({ 600: 20, 100: 8 })).toEqual({});
    expect(Object.keys(fieldFigures({ 600: 20, 300: 0, 100: 8, 3: 2 }))).toEqual(['annulusN', 'annulusConsistency']);
  });
});

describe('conversions', () => {
  test.each([
    [600, 1022],
    [300, 511],
    [100, 170.2],
  ] as const)('API RP 13D: %d rpm is %d 1/s', (rpm, rate) => {
    expect(relative(shearRateAt(rpm), rate)).toBeLessThan(1e-3);
  });

  test('API RP 13D: 1 degree is 5.11 dyn/cm², 1.067 lbf/100 ft²', () => {
    expect(stressOfDialPa(10)).toBeCloseTo(5.11, 12);
    expect(stressOfDialPa(1) / 0.4788026).toBeCloseTo(1.067, 3);
  });

  test('water, 2 and 1 degrees, has 1 mPa·s and no yield stress', () => {
    const { curve } = fitOf(fitted({ 600: 2, 300: 1 }), 'bingham');
    expect(relative(curve.consistencyPaSn, 1e-3)).toBeLessThan(1e-3);
    expect(curve.yieldPa).toBeCloseTo(0, 12);
  });

  test('through two dials the power law is the two-point one', () => {
    const { curve } = fitOf(fitted({ 600: 20, 300: 12 }), 'power law');
    expect(curve.n).toBeCloseTo(Math.log2(20 / 12), 6);
    expect(relative(curve.consistencyPaSn * 1000, 61.76)).toBeLessThan(4e-3);
  });

  test('through two dials Bingham has PV and YP', () => {
    const { curve, rmsDegrees } = fitOf(fitted({ 600: 65, 300: 39 }), 'bingham');
    expect(relative(curve.consistencyPaSn, 0.026)).toBeLessThan(1e-3);
    expect(curve.yieldPa).toBeCloseTo(stressOfDialPa(13), 9);
    expect(rmsDegrees).toBeCloseTo(0, 9);
  });
});

const anyCurve = fc
  .record({
    model: fc.constantFrom(...RHEOLOGY_MODELS),
    yieldDegrees: fc.double({ min: 1, max: 15, noNaN: true }),
    topDegrees: fc.double({ min: 20, max: 150, noNaN: true }),
    n: fc.double({ min: 0.25, max: 0.9, noNaN: true }),
  })
  .map(({ model, yieldDegrees, topDegrees, n: drawn }): FlowCurve => {
    const n = model === 'bingham' ? 1 : drawn;
    const yieldPa = model === 'power law' ? 0 : stressOfDialPa(yieldDegrees);
    return { model, yieldPa, consistencyPaSn: stressOfDialPa(topDegrees) / shearRateAt(600) ** n, n };
  });

describe('least squares over all dials', () => {
  test('own: a curve that made the dials is found again', () => {
    fc.assert(
      fc.property(anyCurve, (truth) => {
        const { curve, rmsDegrees } = fitOf(fitted(dialsOf(truth)), truth.model);
        expect(rmsDegrees).toBeLessThan(1e-4);
        expect(curve.n).toBeCloseTo(truth.n, 4);
        expect(relative(curve.consistencyPaSn, truth.consistencyPaSn)).toBeLessThan(1e-3);
        expect(Math.abs(curve.yieldPa - truth.yieldPa)).toBeLessThan(1e-3);
      }),
    );
  });

  test('own: no curve beside the fitted one has a smaller residual', () => {
    const error = fc.double({ min: -2, max: 2, noNaN: true });
    fc.assert(
      fc.property(anyCurve, fc.array(error, { minLength: 6, maxLength: 6 }), (truth, errors) => {
        let i = 0;
        const dials = dialsOf(truth, (degrees) => Math.max(0, degrees + errors[i++]!));
        for (const { curve } of fitted(dials).fits) {
          const least = squares(curve, dials);
          for (const beside of besides(curve))
            expect(squares(beside, dials)).toBeGreaterThanOrEqual(least * (1 - 1e-7) - 1e-9);
        }
      }),
    );
  });

  function squares(curve: FlowCurve, dials: Dials): number {
    return DIAL_SPEEDS.reduce(
      (sum, rpm) => sum + (dials[rpm]! - shearStressPa(curve, shearRateAt(rpm)) / stressOfDialPa(1)) ** 2,
      0,
    );
  }

  function besides(curve: FlowCurve): FlowCurve[] {
    const steps = [-1, 1].map((sign) => 1 + sign * 2e-3);
    const moved = steps.map((by): FlowCurve => ({ ...curve, consistencyPaSn: curve.consistencyPaSn * by }));
    // With n the curve turns about its value at 300 rpm, so that the step is one along the valley.
    if (curve.model !== 'bingham') {
      for (const by of steps) {
        const n = Math.min(1, Math.max(0.1, curve.n * by));
        moved.push({ ...curve, n, consistencyPaSn: curve.consistencyPaSn * shearRateAt(300) ** (curve.n - n) });
      }
    }
    if (curve.model !== 'power law')
      moved.push(...steps.map((by): FlowCurve => ({ ...curve, yieldPa: curve.yieldPa * by })));
    return moved;
  }

  test('own: Bingham over 600, 300 and 100 rpm, residuals worked out by hand', () => {
    // The line through 50, 30, 18 over 6, 3, 1 (hundred rpm) by the sums of least squares.
    const { curve, rmsDegrees, rmsShare, standardErrorDegrees } = fitOf(
      fitted({ 600: 50, 300: 30, 100: 18 }),
      'bingham',
    );
    const slope = (6 * 50 + 3 * 30 + 18 - (10 * 98) / 3) / (46 - 100 / 3);
    const level = (98 - slope * 10) / 3;
    expect(curve.yieldPa).toBeCloseTo(stressOfDialPa(level), 9);
    const rests = [50 - level - 6 * slope, 30 - level - 3 * slope, 18 - level - slope];
    const sum = rests.reduce((total, rest) => total + rest * rest, 0);
    expect(rmsDegrees).toBeCloseTo(Math.sqrt(sum / 3), 9);
    expect(rmsShare).toBeCloseTo(Math.sqrt(sum / 3) / (98 / 3), 9);
    expect(standardErrorDegrees).toBeCloseTo(Math.sqrt(sum), 9);
  });

  test('no parameter leaves its range: curves that bend the wrong way', () => {
    const fit = fitted({ 600: 60, 300: 20, 200: 9, 100: 3, 6: 1, 3: 1 });
    for (const { curve } of fit.fits) {
      expect(curve.yieldPa).toBeGreaterThanOrEqual(0);
      expect(curve.consistencyPaSn).toBeGreaterThan(0);
      expect(curve.n).toBeGreaterThanOrEqual(0.1);
      expect(curve.n).toBeLessThanOrEqual(1);
    }
  });
});

describe('the chosen model', () => {
  const CURVES: [RheologyModel, FlowCurve][] = [
    ['bingham', { model: 'bingham', yieldPa: 5, consistencyPaSn: 0.02, n: 1 }],
    ['power law', { model: 'power law', yieldPa: 0, consistencyPaSn: 0.9, n: 0.5 }],
    ['herschel-bulkley', { model: 'herschel-bulkley', yieldPa: 5, consistencyPaSn: 0.4, n: 0.6 }],
  ];
  test.each(CURVES)('is %s for dials that it made, read to the whole degree', (model, truth) => {
    const fit = fitted(dialsOf(truth, Math.round));
    expect(fit.chosen.curve.model).toBe(model);
    expect(fit.chosenBy).toBe('residual');
  });

  test('is the plan’s where the plan sets one', () => {
    const fit = fitted(dialsOf(CURVES[2]![1]), 'bingham');
    expect(fit.chosen.curve.model).toBe('bingham');
    expect(fit.chosenBy).toBe('plan');
    expect(fit.fits).toHaveLength(3);
  });

  test('is not one that merely passes through as many dials as it has parameters', () => {
    const three = fitted({ 600: 50, 300: 32, 3: 7 });
    expect(fitOf(three, 'herschel-bulkley').rmsDegrees).toBeLessThan(1e-3);
    expect(fitOf(three, 'herschel-bulkley').standardErrorDegrees).toBeNaN();
    expect(three.chosen.curve.model).not.toBe('herschel-bulkley');
    expect(fitted({ 600: 50, 300: 30 }).chosen.curve.model).toBe('power law');
  });

  test('is never beaten by more than a dial can be read to', () => {
    const degrees = fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(degrees, (steps) => {
        // Each speed reads all the steps up to it, so that no faster one reads less.
        const upTo = (i: number): number => steps.slice(i).reduce((sum, step) => sum + step, 0);
        const fit = fitRheology(Object.fromEntries(DIAL_SPEEDS.map((rpm, i) => [rpm, upTo(i)])));
        fc.pre(fit.kind === 'fitted');
        const least = Math.min(...fit.fits.map((each) => each.standardErrorDegrees));
        expect(fit.chosen.standardErrorDegrees).toBeLessThanOrEqual(Math.max(least, 1 / Math.sqrt(12)));
      }),
    );
  });
});

describe('refused', () => {
  test.each<[Dials, RheologyModel | undefined, RegExp]>([
    [{ 600: 20 }, undefined, /two dials/],
    [{}, undefined, /two dials/],
    [{ 600: 20, 300: -1 }, undefined, /dial 300 reads -1/],
    [{ 600: Number.NaN, 300: 12 }, undefined, /dial 600 reads NaN/],
    [{ 600: 301, 300: 12 }, undefined, /dial 600 reads 301/],
    [{ 600: 12, 300: 12 }, undefined, /dial 600 is not above dial 300/],
    [{ 600: 20, 300: 12 }, 'herschel-bulkley', /herschel-bulkley/],
  ])('%j as %s', (dials, set, problem) => {
    expect(fitRheology(dials, set)).toMatchObject({ kind: 'refused', problem: expect.stringMatching(problem) });
  });
});
