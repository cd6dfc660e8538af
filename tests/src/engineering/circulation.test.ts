/** The way of the fluid from pump to pit. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  type CircuitInput,
  circuitOf,
  circulate,
  ecdKgPerM3,
  flowForStandpipeLPerMin,
  flowForToolDropLPerMin,
  layString,
  surfaceLossKpa,
} from '../../../src/engineering/circulation.ts';
import { flowLoss } from '../../../src/engineering/flowLoss.ts';
import { nozzleDropKpa } from '../../../src/engineering/nozzle.ts';
import { fromInside, toInside } from '../../../src/units.ts';
import { relative } from './fieldCase.ts';

const INPUT: CircuitInput = {
  fluid: {
    densityKgPerM3: 1180,
    curve: { model: 'herschel-bulkley', yieldPa: 1.5, consistencyPaSn: 0.2, n: 0.7 },
  },
  string: [
    { lengthM: 2380, odMm: 127, idMm: 108.6 },
    { lengthM: 110, odMm: 88.9, idMm: 70.2 },
    { lengthM: 10, odMm: 140, idMm: 50 },
  ],
  hole: [
    { fromM: 0, toM: 2405, idMm: 220.5 },
    { fromM: 2405, toM: 2530, idMm: 162 },
  ],
  endDepthM: 2500,
  tvdAt: (depth) => depth * 0.8,
  nozzles: { areaMm2: 140, dischargeCoefficient: 0.95 },
};
const circuit = (change: Partial<CircuitInput> = {}): Circuit => circuitOf({ ...INPUT, ...change });

describe('the string at its depth', () => {
  const spans = (endDepthM: number) => layString(INPUT.string, endDepthM).map(({ fromM, toM }) => [fromM, toM]);

  test.each<[why: string, end: number, expected: number[][]]>([
    [
      'as long as the depth',
      2500,
      [
        [0, 2380],
        [2380, 2490],
        [2490, 2500],
      ],
    ],
    [
      'too short: the topmost section is extended',
      2600,
      [
        [0, 2480],
        [2480, 2590],
        [2590, 2600],
      ],
    ],
    [
      'too long: the topmost section is cut',
      1000,
      [
        [0, 880],
        [880, 990],
        [990, 1000],
      ],
    ],
    [
      'far too long: the topmost is gone, the next is cut',
      70,
      [
        [0, 60],
        [60, 70],
      ],
    ],
    ['only the last section has begun to go in', 4, [[0, 4]]],
  ])('%s', (_why, end, expected) => expect(spans(end)).toEqual(expected));

  test('inside and outside each add up to the depth of the end', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 2530, noNaN: true }), (endDepthM) => {
        const laid = circuit({ endDepthM });
        for (const kind of ['pipe', 'annulus'] as const) {
          const reaches = laid.reaches.filter((reach) => reach.passage.kind === kind);
          expect(reaches.reduce((sum, reach) => sum + reach.toM - reach.fromM, 0)).toBeCloseTo(endDepthM, 6);
        }
        expect(laid.unknownAnnulusM).toBeCloseTo(0, 6);
      }),
    );
  });

  test('where no hole is given, or none that the pipe fits, the annulus is unknown', () => {
    expect(circuit({ hole: [{ fromM: 100, toM: 2400, idMm: 220.5 }] }).unknownAnnulusM).toBeCloseTo(200, 9);
    expect(circuit({ hole: [{ fromM: 0, toM: 2600, idMm: 130 }] }).unknownAnnulusM).toBeCloseTo(10, 9);
  });
});

describe('losses of a flow', () => {
  test('are the sums of the sections, each its gradient over its length', () => {
    const way = circuit({ surfaceCoefficient: 4 });
    const result = circulate(way, 900);
    expect(result.perSection).toHaveLength(3 + 4);
    const sumOf = (kind: string) =>
      result.perSection.filter((s) => s.passage.kind === kind).reduce((sum, s) => sum + s.lossKpa, 0);
    expect(result.pipeLossKpa).toBeCloseTo(sumOf('pipe'), 9);
    expect(result.annulusLossKpa).toBeCloseTo(sumOf('annulus'), 9);
    for (const section of result.perSection) {
      const gradient = flowLoss(INPUT.fluid, section.passage, 900).gradientKpaPerM;
      expect(section.lossKpa).toBeCloseTo(gradient * (section.toM - section.fromM), 9);
    }
    expect(result.toolDropKpa).toBeCloseTo(nozzleDropKpa(900, 140, 1180, 0.95), 9);
    expect(result.standpipeKpa).toBeCloseTo(
      result.surfaceKpa + result.pipeLossKpa + result.toolDropKpa + result.annulusLossKpa,
      9,
    );
  });

  test('do not change when a section is cut in two', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 2379, noNaN: true }),
        fc.double({ min: 1, max: 2404, noNaN: true }),
        fc.double({ min: 10, max: 3000, noNaN: true }),
        (stringCut, holeCut, flow) => {
          const [top, ...rest] = INPUT.string;
          const [upper, ...lower] = INPUT.hole;
          const string = [{ ...top!, lengthM: stringCut }, { ...top!, lengthM: top!.lengthM - stringCut }, ...rest];
          const hole = [{ ...upper!, toM: holeCut }, { ...upper!, fromM: holeCut }, ...lower];
          const whole = circulate(circuit(), flow);
          const cut = circulate(circuit({ string, hole }), flow);
          expect(relative(cut.pipeLossKpa, whole.pipeLossKpa)).toBeLessThan(1e-9);
          expect(relative(cut.annulusLossKpa, whole.annulusLossKpa)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  test('rise with the flow in every part, and are none without it', () => {
    const way = circuit({ surfaceCoefficient: 4 });
    const parts = ['surfaceKpa', 'pipeLossKpa', 'toolDropKpa', 'annulusLossKpa', 'standpipeKpa', 'ecdKgPerM3'] as const;
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 4000, noNaN: true }), (flow) => {
        const less = circulate(way, flow);
        const more = circulate(way, flow * 1.01);
        for (const part of parts) expect(more[part], part).toBeGreaterThan(less[part]);
      }),
    );
    const still = circulate(way, 0);
    expect(still.standpipeKpa).toBe(0);
    expect(still.ecdKgPerM3).toBe(1180);
  });
});

describe('surface lines', () => {
  test('a public page on surface pressure losses: 1e-5 ks ρ Q^1.86 in psi, ppg, gpm', () => {
    const kpa = surfaceLossKpa(4, toInside(10.5, 'ppg'), toInside(300, 'gpm'));
    expect(fromInside(kpa, 'psi')).toBeCloseTo(1e-5 * 4 * 10.5 * 300 ** 1.86, 9);
  });

  // Combination 3 of the surface equipment is ks near 6 on that scale (from memory).
  test('G&L (2011), Illustrative example 2.6: 30 psi for 479 ft of pipe lies within ks 2 to 10', () => {
    const psi = (ks: number) => fromInside(surfaceLossKpa(ks, toInside(10.5, 'ppg'), toInside(300, 'gpm')), 'psi');
    expect(psi(2)).toBeLessThan(30);
    expect(psi(10)).toBeGreaterThan(30);
  });

  test('left out, they are not counted', () => expect(circulate(circuit(), 900).surfaceKpa).toBe(0));
});

describe('equivalent circulating density', () => {
  test('Lapeyrouse, hydrostatic: 8,424 psi over 12,000 ft is 13.5 ppg (0.052 for 0.05195: 0.1 %)', () => {
    const added = ecdKgPerM3(0, toInside(8424, 'psi'), toInside(12_000, 'ft'));
    expect(relative(fromInside(added, 'ppg'), 13.5)).toBeLessThan(1.2e-3);
  });

  test('by hand: 500 kPa over 2000 m true vertical is 500,000 / (9.80665 × 2000) = 25.49 kg/m³ more', () => {
    expect(ecdKgPerM3(1180, 500, 2000)).toBeCloseTo(1205.49, 2);
  });

  test('is over the true vertical depth of the end', () => {
    const deviated = circulate(circuit(), 900);
    const vertical = circulate(circuit({ tvdAt: (depth) => depth }), 900);
    expect((vertical.ecdKgPerM3 - 1180) / (deviated.ecdKgPerM3 - 1180)).toBeCloseTo(0.8, 9);
    expect(circulate(circuit({ tvdAt: () => 0 }), 900).ecdKgPerM3).toBeNaN();
  });
});

describe('flow for a wanted pressure', () => {
  test('at the tool, in closed form', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 40_000, noNaN: true }), (wanted) => {
        expect(
          relative(circulate(circuit(), flowForToolDropLPerMin(circuit(), wanted)).toolDropKpa, wanted),
        ).toBeLessThan(1e-12);
      }),
    );
  });

  test('at the standpipe', () => {
    const way = circuit({ surfaceCoefficient: 4 });
    fc.assert(
      fc.property(fc.double({ min: 500, max: 60_000, noNaN: true }), (wanted) => {
        const flow = flowForStandpipeLPerMin(way, wanted);
        expect(relative(circulate(way, flow).standpipeKpa, wanted)).toBeLessThan(1e-6);
      }),
    );
  });

  test('is none where the pressure does not make the fluid yield', () => {
    expect(flowForStandpipeLPerMin(circuit(), 0)).toBe(0);
    expect(flowForStandpipeLPerMin(circuit(), -5)).toBe(0);
    expect(flowForStandpipeLPerMin(circuit(), 100)).toBe(0);
    expect(circulate(circuit(), 1e-6).standpipeKpa).toBeGreaterThan(100);
  });
});

test('a string with its end at the surface is no circuit', () => {
  expect(() => circuit({ endDepthM: 0 })).toThrow(/broken promise/);
  expect(() => circuit({ string: [] })).toThrow(/broken promise/);
});
