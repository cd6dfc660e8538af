/** Pressure against flow: what the fit gives back, how sure it is, and where it has not been. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addReading,
  fitPowerLaw,
  NO_READINGS,
  powerLawOf,
  predictPressure,
} from '../../../src/engineering/powerLaw.ts';
import { toInside } from '../../../src/units.ts';
import { seededNormal } from './seededNormal.ts';

const reading = (flowLPerMin: number, pressureKpa: number) => ({ flowLPerMin, pressureKpa });
const curve = (factor: number, exponent: number, flows: readonly number[]) =>
  flows.map((flow) => reading(flow, factor * flow ** exponent));

describe('tutorial pages citing Lapeyrouse, exponent from 2,500 psi at 315 gpm and 450 psi at 120 gpm', () => {
  const field = (gpm: number, psi: number) => reading(toInside(gpm, 'gpm'), toInside(psi, 'psi'));
  const law = fitPowerLaw([field(315, 2500), field(120, 450), field(120, 450)])!;

  it('is 1.7768', () => expect(law.exponent).toBeCloseTo(1.77684, 4));
  it('takes 1,800 psi at 60 strokes to 525 psi at 30', () => {
    const ratio = predictPressure(law, 500).pressureKpa / predictPressure(law, 1000).pressureKpa;
    expect(1800 * ratio).toBeCloseTo(525.3, 1);
  });
});

describe('own', () => {
  it('any exact curve is given back, with no scatter and the flows it has seen', () => {
    const flows = fc.uniqueArray(fc.integer({ min: 100, max: 1500 }), { minLength: 3, maxLength: 20 });
    fc.assert(
      fc.property(
        fc.double({ min: 1e-4, max: 1, noNaN: true }),
        fc.double({ min: 1, max: 2.2, noNaN: true }),
        flows,
        (factor, exponent, seen) => {
          const law = fitPowerLaw(curve(factor, exponent, seen))!;
          expect(law.exponent).toBeCloseTo(exponent, 5);
          expect(law.scatter).toBeLessThan(1e-5);
          expect(law.fromFlow).toBeCloseTo(Math.min(...seen), 6);
          expect(law.toFlow).toBeCloseTo(Math.max(...seen), 6);
          for (const flow of seen) {
            const got = predictPressure(law, flow);
            expect(got.pressureKpa / (factor * flow ** exponent)).toBeCloseTo(1, 5);
            expect(got.where).toBe('inside');
          }
        },
      ),
    );
  });

  it('a stream gives the same curve as the list, whatever cannot have a logarithm left out', () => {
    const readings = curve(0.02, 1.8, [400, 600, 800]);
    let sums = NO_READINGS;
    for (const { flowLPerMin, pressureKpa } of readings) sums = addReading(sums, flowLPerMin, pressureKpa);
    for (const [flow, pressure] of [
      [0, 100],
      [500, 0],
      [500, -20],
      [Number.NaN, 100],
    ] as const) {
      sums = addReading(sums, flow, pressure);
    }
    expect(powerLawOf(sums)).toEqual(fitPowerLaw(readings));
  });

  it('with 2 % scatter finds it, and 95 % of new readings lie within 2σ at the flows seen', () => {
    const normal = seededNormal(7);
    const noisy = (flow: number) => 0.02 * flow ** 1.8 * Math.exp(0.02 * normal());
    const law = fitPowerLaw([400, 600, 800].flatMap((q) => Array.from({ length: 60 }, () => reading(q, noisy(q)))))!;
    expect(law.scatter).toBeGreaterThan(0.017);
    expect(law.scatter).toBeLessThan(0.023);
    expect(Math.abs(law.exponent - 1.8)).toBeLessThan(3 * law.exponentError);
    const { pressureKpa, readingSigmaKpa } = predictPressure(law, 700);
    const inside = Array.from({ length: 1000 }, () => noisy(700)).filter(
      (p) => Math.abs(p - pressureKpa) < 2 * readingSigmaKpa,
    );
    expect(inside.length).toBeGreaterThan(920);
    expect(inside.length).toBeLessThan(985);
  });

  it('is less sure away from the flows seen, and says that it is outside', () => {
    const law = fitPowerLaw([reading(400, 1000), reading(600, 2100), reading(800, 3500), reading(500, 1480)])!;
    const inside = predictPressure(law, 550);
    const above = predictPressure(law, 1400);
    expect(above.where).toBe('above');
    expect(predictPressure(law, 100).where).toBe('below');
    expect(above.curveSigmaKpa / above.pressureKpa).toBeGreaterThan((3 * inside.curveSigmaKpa) / inside.pressureKpa);
  });

  it('gives more weight to the readings that last longer', () => {
    const law = (weight: number) =>
      fitPowerLaw([reading(400, 1000), reading(600, 2100), { ...reading(800, 4000), weight }])!;
    const miss = (weight: number) => Math.abs(predictPressure(law(weight), 800).pressureKpa - 4000);
    expect(miss(50)).toBeLessThan(miss(1));
  });

  it('no flow makes no loss; one flow makes no curve', () => {
    const law = fitPowerLaw(curve(0.02, 1.8, [400, 600, 800]))!;
    expect(predictPressure(law, 0)).toEqual({ pressureKpa: 0, curveSigmaKpa: 0, readingSigmaKpa: 0, where: 'below' });
    expect(fitPowerLaw(curve(0.02, 1.8, [400, 400, 400]))).toBeNull();
  });
});
