/** The hole against the tool: worked holes, and a brute-force walk down the joint in small steps. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CaliperLog } from '../../../src/engineering/caliperLog.ts';
import { type Expansion, type FitJoint, fitJoint, logStretches } from '../../../src/engineering/holeFit.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const log = (depthM: number[], diameterMm: number[], crossDiameterMm: number[] | null = null): CaliperLog => ({
  depthM,
  diameterMm,
  crossDiameterMm,
});
const COMPLIANT: Expansion = { kind: 'compliant', minMm: 200, maxMm: 220 };
const joint = (fromM: number, toM: number, more: Partial<FitJoint> = {}): FitJoint => ({
  name: 'Z1',
  fromM,
  toM,
  runOdMm: 140,
  expansion: COMPLIANT,
  ...more,
});
const fitIn = (of: CaliperLog, one: FitJoint, toleranceMm = 0) => fitJoint(one, logStretches(of), toleranceMm);

describe('own: 5.5 in expanded to 8.1 in, in a hole of 8.5 in', () => {
  const mm = (inches: number) => toInside(inches, 'in');
  const m = (feet: number) => toInside(feet, 'ft');
  const hole = log([0, m(20), m(40)], [mm(8.5), mm(8.5), mm(8.5)]);
  const expansion: Expansion = { kind: 'fixed', odMm: mm(8.1), minMm: mm(8), maxMm: mm(9) };
  const got = fitIn(hole, joint(0, m(40), { runOdMm: mm(5.5), expansion, elastomerMm: mm(0.25) }));

  it('closes 1.3740 bbl over a joint of 40 ft', () => expect(fromInside(got.closedM3, 'bbl')).toBeCloseTo(1.374, 3));
  it('leaves 0.2 in to the pipe, so that 0.25 in of elastomer is squeezed by a fifth', () => {
    expect(got.meanGapMm).toBeCloseTo(mm(0.2), 9);
    expect(got.squeeze!.mean).toBeCloseTo(0.2, 9);
    expect(got.contact).toBe(1);
  });
  it('stands wholly in gauge', () => expect(got).toMatchObject({ inGauge: 1, overGauge: 0, tight: 0, noLog: 0 }));
});

describe('own: a hole that widens evenly from 190 to 230 mm over 4 m, tool 200 to 220 mm', () => {
  const hole = log([100, 102, 104], [190, 210, 230]);
  const got = fitIn(hole, joint(100, 104));

  it('is tight for 1 m, in gauge for 2 m, over gauge for 1 m, cut between the readings', () => {
    expect(got.tight).toBeCloseTo(0.25, 12);
    expect(got.inGauge).toBeCloseTo(0.5, 12);
    expect(got.overGauge).toBeCloseTo(0.25, 12);
  });
  it('is met by a compliant tool up to 220 mm, then leaves up to 5 mm', () => {
    expect(got.contact).toBeCloseTo(0.75, 12);
    expect(got.widestGapMm).toBeCloseTo(5, 12);
  });
  it('a tolerance of 1 mm counts 0.2 m more', () => {
    expect(fitIn(hole, joint(100, 104), 1).contact).toBeCloseTo(0.8, 12);
  });
  it('closes the volume of a cone and two cylinders', () => {
    const m2 = (mm: number) => (Math.PI / 4) * (mm / 1000) ** 2;
    const cone = (Math.PI / 12) * 2 * (0.2 ** 2 + 0.2 * 0.22 + 0.22 ** 2);
    expect(got.closedM3).toBeCloseTo(m2(200) + cone + m2(220) - 4 * m2(140), 12);
    expect(got.holeM3).toBeCloseTo((Math.PI / 12) * 4 * (0.19 ** 2 + 0.19 * 0.23 + 0.23 ** 2), 12);
  });
  it('has no squeeze from a compliant tool: what it leaves is not known from geometry', () => {
    expect(fitIn(hole, joint(100, 104, { elastomerMm: 6 })).squeeze).toBeNull();
  });
});

describe('own: two arms', () => {
  it('over gauge by either, tight by either, in gauge by both', () => {
    const hole = log([0, 1, 2, 3], [210, 210, 210, 210], [210, 230, 190, 210]);
    const got = fitIn(hole, joint(0, 3));
    // 210 → 230: half above 220; 230 → 190: a quarter above, a quarter below; 190 → 210: half below.
    expect(got.overGauge).toBeCloseTo((0.5 + 0.25) / 3, 12);
    expect(got.tight).toBeCloseTo((0.5 + 0.25) / 3, 12);
    expect(got.inGauge).toBeCloseTo(1.5 / 3, 12);
    expect(got.greatestOvality).toBeCloseTo(20 / 200, 12);
  });
  it('an oval hole in gauge is met on its narrow side only', () => {
    const got = fitIn(log([0, 10], [205, 205], [215, 215]), joint(0, 10));
    expect(got).toMatchObject({ inGauge: 1, contact: 0 });
    expect(got.meanGapMm).toBeCloseTo(5, 12);
  });
});

describe('own: where there is no log', () => {
  const hole = log([0, 1, 2, 3, 4, 8, 9, 10], [210, 210, Number.NaN, 210, 210, 210, 210, 210]);
  it('beside a null and across missing rows nothing is known', () => {
    expect(fitIn(hole, joint(0, 10)).noLog).toBeCloseTo(0.6, 12);
    expect(fitIn(hole, joint(1, 3)).noLog).toBe(1);
    expect(fitIn(hole, joint(8, 12)).noLog).toBeCloseTo(0.5, 12);
  });
  it('a joint without any has no means', () => {
    const got = fitIn(hole, joint(20, 30, { elastomerMm: 5 }));
    expect(got).toMatchObject({ noLog: 1, inGauge: 0, closedM3: 0, squeeze: null });
    expect(got.contact).toBeNaN();
    expect(got.widestGapMm).toBeNaN();
  });
  it('one missing row in an even log is bridged, two are not', () => {
    expect(fitIn(log([0, 0.1, 0.2, 0.4, 0.5], [210, 210, 210, 210, 210]), joint(0, 0.5)).noLog).toBe(0);
    expect(fitIn(log([0, 0.1, 0.2, 0.5, 0.6], [210, 210, 210, 210, 210]), joint(0, 0.6)).noLog).toBeCloseTo(0.5, 9);
  });
});

const diameter = fc.integer({ min: 180, max: 240 });
const holes = fc.array(fc.tuple(diameter, diameter), { minLength: 3, maxLength: 20 }).map((rows) =>
  log(
    [...rows.keys()],
    rows.map((row) => row[0]),
    rows.map((row) => row[1]),
  ),
);
const expansions = fc.constantFrom<Expansion>(COMPLIANT, {
  kind: 'fixed',
  odMm: 204,
  minMm: 200,
  maxMm: 220,
});

/** The same by walking down in equal steps, reading the log at the middle of each. */
function walked(hole: CaliperLog, one: FitJoint, steps: number) {
  const sums = { inGauge: 0, overGauge: 0, tight: 0, contact: 0, gap: 0, squeeze: 0, closed: 0 };
  const { expansion, elastomerMm = 0 } = one;
  for (let i = 0; i < steps; i += 1) {
    const depth = one.fromM + ((i + 0.5) / steps) * (one.toM - one.fromM);
    const row = Math.min(Math.floor(depth), hole.depthM.length - 2);
    const read = (arm: readonly number[]) => arm[row]! + (depth - row) * (arm[row + 1]! - arm[row]!);
    const [a, b] = [read(hole.diameterMm), read(hole.crossDiameterMm!)] as const;
    const follows = Math.min(Math.max(Math.min(a, b), expansion.minMm), expansion.maxMm);
    const od = expansion.kind === 'fixed' ? expansion.odMm : follows;
    const gap = (Math.max(a, b) - od) / 2;
    if (Math.max(a, b) > expansion.maxMm) sums.overGauge += 1 / steps;
    else if (Math.min(a, b) < expansion.minMm) sums.tight += 1 / steps;
    else sums.inGauge += 1 / steps;
    if (gap <= elastomerMm + 0.5) sums.contact += 1 / steps;
    sums.gap += gap / steps;
    sums.squeeze += Math.min(1, Math.max(0, 1 - gap / elastomerMm)) / steps;
    sums.closed += ((Math.PI / 4) * 1e-6 * (od ** 2 - one.runOdMm ** 2) * (one.toM - one.fromM)) / steps;
  }
  return sums;
}

describe('any hole, against a walk in 4,000 steps', () => {
  it('has the same shares, gap, squeeze and volume', () => {
    const elastomers = fc.constantFrom(3, 8);
    fc.assert(
      fc.property(
        holes,
        expansions,
        elastomers,
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        (hole, expansion, thick, at) => {
          const last = hole.depthM.length - 1;
          const one = joint(at, last - at / 3, { expansion, elastomerMm: thick });
          const got = fitIn(hole, one, 0.5);
          const near = walked(hole, one, 4000);
          expect(Math.abs(got.inGauge - near.inGauge)).toBeLessThan(0.01);
          expect(Math.abs(got.overGauge - near.overGauge)).toBeLessThan(0.01);
          expect(Math.abs(got.tight - near.tight)).toBeLessThan(0.01);
          expect(Math.abs(got.contact - near.contact)).toBeLessThan(0.01);
          expect(got.meanGapMm).toBeCloseTo(near.gap, 2);
          expect(got.closedM3 / near.closed).toBeCloseTo(1, 4);
          if (got.squeeze !== null) expect(got.squeeze.mean).toBeCloseTo(near.squeeze, 3);
          expect(got.inGauge + got.overGauge + got.tight + got.noLog).toBeCloseTo(1, 9);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('cut in two, a joint has the metres and the volume of its parts', () => {
    fc.assert(
      fc.property(holes, fc.double({ min: 0.01, max: 1.99, noNaN: true }), (hole, cut) => {
        const last = hole.depthM.length - 1;
        const [whole, upper, lower] = [
          [0, last],
          [0, cut],
          [cut, last],
        ].map(([from, to]) => fitIn(hole, joint(from!, to!)));
        const metres = (part: typeof whole) => part!.inGauge * part!.lengthM;
        fc.pre(cut < last);
        expect(metres(upper) + metres(lower)).toBeCloseTo(metres(whole), 9);
        expect(upper!.closedM3 + lower!.closedM3).toBeCloseTo(whole!.closedM3, 9);
      }),
    );
  });

  it('mirrored arms are the same hole', () => {
    fc.assert(
      fc.property(holes, expansions, (hole, expansion) => {
        const mirrored = log([...hole.depthM], [...hole.crossDiameterMm!], [...hole.diameterMm]);
        const one = joint(0, hole.depthM.length - 1, { expansion });
        const [a, b] = [fitIn(hole, one), fitIn(mirrored, one)];
        expect(b.inGauge).toBeCloseTo(a.inGauge, 12);
        expect(b.closedM3).toBeCloseTo(a.closedM3, 12);
        expect(b.widestGapMm).toBeCloseTo(a.widestGapMm, 12);
      }),
    );
  });
});

it('a tool without a range, or a joint without a length, is refused loudly', () => {
  const hole = log([0, 1], [210, 210]);
  expect(() => fitIn(hole, joint(1, 1))).toThrow(/length/);
  expect(() => fitIn(hole, joint(0, 1, { expansion: { ...COMPLIANT, maxMm: 100 } }))).toThrow(/range/);
});
