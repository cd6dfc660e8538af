/** Space-out: the best shift and its curve, against the fit of each joint at each shift. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CaliperLog } from '../../../src/engineering/caliperLog.ts';
import { type FitJoint, fitJoint, logStretches } from '../../../src/engineering/holeFit.ts';
import { MOST_SHIFTS, spaceOut } from '../../../src/engineering/spaceOut.ts';

const joint = (fromM: number, toM: number, maxMm = 220): FitJoint => ({
  name: `Z${fromM}`,
  fromM,
  toM,
  runOdMm: 140,
  expansion: { kind: 'compliant', minMm: 200, maxMm },
});
const hole = (diameterMm: number[], stepM = 1): CaliperLog => ({
  depthM: diameterMm.map((_, i) => i * stepM),
  diameterMm,
  crossDiameterMm: null,
});

describe('own: a wash-out of 240 mm from 20 to 24 m, a joint planned at 22 to 28 m', () => {
  /** Steps of 0.1 m; the edges of the wash-out lie inside one step. */
  const stretches = logStretches(
    hole(
      Array.from({ length: 500 }, (_, i) => (i >= 200 && i <= 240 ? 240 : 210)),
      0.1,
    ),
  );
  const planned = [joint(22, 28)];

  it('moves down just out of it, by the smallest shift that does', () => {
    const got = spaceOut(planned, stretches, { reachM: 4, stepM: 0.5 });
    expect(got.asPlannedM).toBeCloseTo(28 - 24 - 0.1 + 0.1 * (1 / 3), 9);
    expect(got.shiftM).toBe(2.5);
    expect(got.inGaugeM).toBeCloseTo(6, 9);
    expect(got.lengthM).toBe(6);
  });

  it('has a curve with every shift, the plan itself in the middle', () => {
    const { curve, asPlannedM } = spaceOut(planned, stretches, { reachM: 4, stepM: 0.5 });
    expect(curve.map(([shift]) => shift)).toEqual(Array.from({ length: 17 }, (_, i) => -4 + 0.5 * i));
    expect(curve[8]).toEqual([0, asPlannedM]);
  });

  it('stays where it is when nothing is better', () => {
    expect(spaceOut([joint(30, 36)], stretches, { reachM: 4, stepM: 0.5 }).shiftM).toBe(0);
    expect(spaceOut([joint(80, 90)], stretches, { reachM: 4, stepM: 0.5 })).toMatchObject({ shiftM: 0, inGaugeM: 0 });
  });

  it('without a log or a joint has a flat curve', () => {
    expect(spaceOut(planned, [], { reachM: 1, stepM: 0.5 }).curve.every(([, metres]) => metres === 0)).toBe(true);
    expect(spaceOut([], stretches, { reachM: 1, stepM: 0.5 })).toMatchObject({ shiftM: 0, lengthM: 0 });
  });
});

describe('any hole and joints', () => {
  const drawn = fc.record({
    diameters: fc.array(fc.oneof(fc.integer({ min: 190, max: 240 }), fc.constant(Number.NaN)), {
      minLength: 10,
      maxLength: 40,
    }),
    starts: fc.uniqueArray(fc.integer({ min: 0, max: 30 }), { minLength: 1, maxLength: 4 }),
  });

  it('the curve is the sum of the joints’ own fits, and the best is its top', () => {
    fc.assert(
      fc.property(drawn, ({ diameters, starts }) => {
        const stretches = logStretches(hole(diameters));
        const joints = starts.map((start, i) => joint(start, start + 3.7, i % 2 === 0 ? 220 : 230));
        const got = spaceOut(joints, stretches, { reachM: 2, stepM: 0.4 });
        for (const [shift, metres] of got.curve) {
          const each = joints.map((one) => {
            const moved = fitJoint({ ...one, fromM: one.fromM + shift, toM: one.toM + shift }, stretches, 0);
            return moved.inGauge * moved.lengthM;
          });
          expect(metres).toBeCloseTo(
            each.reduce((a, b) => a + b, 0),
            8,
          );
        }
        const top = Math.max(...got.curve.map(([, metres]) => metres));
        expect(Math.abs(got.inGaugeM - top)).toBeLessThan(1e-5);
        expect(got.curve.find(([shift]) => shift === got.shiftM)![1]).toBe(got.inGaugeM);
      }),
    );
  });
});

it('more shifts than the limit are refused loudly', () => {
  expect(() => spaceOut([], [], { reachM: 100, stepM: 0.01 })).toThrow(/limit/);
  expect(MOST_SHIFTS).toBe(5001);
});
