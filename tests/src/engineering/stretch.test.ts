/** Stretch, temperature, pressure elongation and free point against printed examples and closed forms. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { areaOfMassMm2, buoyedWeightKn, plainEndMassKgM, steelAreaMm2 } from '../../../src/engineering/buoyancy.ts';
import {
  ballooningStretchM,
  elasticMovementM,
  elasticStretchM,
  endCapForceKn,
  endCapStretchM,
  fixedDepthM,
  freePointM,
  insidePressureStretchM,
  meanWarmingC,
  ownWeightStretchM,
  pistonForceKn,
  pistonStretchM,
  STEEL_POISSON,
  STEEL_YOUNG_KPA,
  tensionStretchM,
  thermalStretchM,
} from '../../../src/engineering/stretch.ts';
import { hangString, type StringSection } from '../../../src/engineering/volumes.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const inch = (value: number) => toInside(value, 'in');
const feet = (value: number) => toInside(value, 'ft');
const lbf = (value: number) => toInside(value, 'lbf');
const psi = (value: number) => toInside(value, 'psi');
const squareInch = (value: number) => toInside(value, 'in²');
const lbFt = (value: number) => value * 1.4881639435695537;
const inches = (m: number) => fromInside(m * 1000, 'in');
const off = (value: number, printed: number) => Math.abs(value / printed - 1);
const DRILL_PIPE = { odMm: inch(5), idMm: inch(4.276) };
const PIPE_AREA = steelAreaMm2(DRILL_PIPE.odMm, DRILL_PIPE.idMm);

describe('elastic stretch', () => {
  it('API RP 7G, 16th ed., as reprinted (seen): 5 in of 23.52 lb/ft, 8,500 ft, 230,000 lbf, 113.1 in', () => {
    const stretch = elasticStretchM(feet(8500), lbf(230_000), areaOfMassMm2(lbFt(23.52)));
    expect(inches(stretch)).toBeCloseTo(113.1, 1);
    expect(off(inches(stretch), (8500 * 230_000) / (735_000 * 23.52))).toBeLessThan(1e-3);
  });

  it.each<[string, number, number, number]>([
    ['4-1/2 in casing', 3.009, 30e6, 0.0011],
    ['5 in drill pipe', 5.449, 30e6, 0.0006],
    ['5-1/2 in drill pipe', 7.854, 30e6, 0.0004],
    ['fibreglass', 3.962, 10e6, 0.0025],
  ])(
    'an ocean-drilling report, IODP Exp. 336, table T5 (seen): %s, m per 1,000 lbf per 100 m',
    (_name, area, modulus, m) => {
      // Another modulus counts as so much more steel.
      const stretch = elasticStretchM(100, lbf(1000), squareInch(area * (modulus / 30e6)));
      expect(stretch).toBeCloseTo(m, 4);
    },
  );

  it('own: 3,000 m of 5 in 19.50 in 9.5 ppg, 1.43 m by its own weight and 1.90 m for 100 klbf', () => {
    const weight = buoyedWeightKn(plainEndMassKgM(DRILL_PIPE.odMm, DRILL_PIPE.idMm), 1, toInside(9.5, 'ppg'));
    expect(ownWeightStretchM(3000, weight, PIPE_AREA)).toBeCloseTo(1.43, 2);
    expect(elasticStretchM(3000, toInside(100, 'klbf'), PIPE_AREA)).toBeCloseTo(1.9, 1);
  });

  it('own, F·L/(E·A) in field units: 10 klbf on 5,000, 10,000 and 15,000 ft of 5.275 in², 0.096, 0.193 and 0.289 m', () => {
    const metres = [5000, 10_000, 15_000].map((length) =>
      elasticStretchM(feet(length), lbf(10_000), squareInch(5.275)),
    );
    expect(metres.map((m) => m.toFixed(3))).toEqual(['0.096', '0.193', '0.289']);
  });

  it('a varying tension: the own weight of an even string is its closed form w·L²/(2·E·A), however it is cut', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 1, max: 300, noNaN: true }), { minLength: 1, maxLength: 30 }), (steps) => {
        const depths = [0];
        for (const step of steps) depths.push(depths.at(-1)! + step);
        const end = depths.at(-1)!;
        const tension = depths.map((md) => 0.25 * (end - md));
        const sum = tensionStretchM(
          depths,
          tension,
          steps.map(() => PIPE_AREA),
        );
        expect(off(sum, ownWeightStretchM(end, 0.25, PIPE_AREA))).toBeLessThan(1e-9);
      }),
    );
  });
});

describe('temperature', () => {
  it('drillingformulas tutorial (seen): 10,000 ft, 80 °F at surface, 375 °F at bottom, 122.43 in by the rule of 0.83 in', () => {
    const rise = meanWarmingC(toInside(80, '°F'), toInside(375, '°F'));
    expect(rise).toBeCloseTo((147.5 * 5) / 9, 9);
    // 6.9e-6 /°F is 0.828 in per 100 ft and 100 °F: 0.24 % under the rule.
    expect(inches(thermalStretchM(feet(10_000), rise))).toBeCloseTo(122.13, 2);
    expect(inches(thermalStretchM(feet(10_000), rise)) * (0.83 / 0.828)).toBeCloseTo(122.43, 1);
  });

  it('a tubing page (seen): 10,000 ft cooled by 20 °F, 16.6 in shorter', () => {
    expect(inches(thermalStretchM(feet(10_000), (-20 * 5) / 9))).toBeCloseTo(-16.6, 1);
  });

  it('own: 3,000 m, 30 °C, 1.12 m', () => {
    expect(thermalStretchM(3000, 30)).toBeCloseTo(1.12, 2);
  });
});

describe('pressure', () => {
  const { odMm, idMm } = DRILL_PIPE;

  it('a tubing-movement tutorial (inputs seen, result worked out): piston 16,087 lbf, 14.60 in shorter', () => {
    // 4-1/2 in tubing to a 5.0 in bore at 10,000 ft; annulus from 10 to 8 ppg, 1,500 psi on the tubing. The page's inner
    // area, 11.497 in², belongs to 3.826 in and not to the 3.862 in that it prints.
    const outside = psi(0.052 * (8 - 10) * 10_000);
    const args = [psi(1500), outside, inch(5), inch(4.5), inch(3.826)] as const;
    expect(fromInside(pistonForceKn(...args), 'lbf')).toBeCloseTo(16_087, -1);
    expect(inches(pistonStretchM(feet(10_000), ...args))).toBeCloseTo(-14.6, 2);
  });

  it('own: 3,000 psi in 3,000 m of closed 5 in 19.50: end cap +0.817, ballooning −0.490, together +0.327 m', () => {
    const cap = endCapStretchM(3000, psi(3000), odMm, idMm);
    const balloon = ballooningStretchM(3000, psi(3000), 0, odMm, idMm);
    expect(cap).toBeCloseTo(0.817, 3);
    expect(balloon).toBeCloseTo(-0.49, 3);
    expect(cap + balloon).toBeCloseTo(0.327, 3);
    expect(fromInside(endCapForceKn(psi(2000), idMm), 'lbf')).toBeCloseTo(28_720, -1);
  });

  it('Lamé, closed-end tube: L (1 − 2ν) p ri²/(E (ro² − ri²)) is end cap and ballooning together', () => {
    const [outer, inner] = [odMm / 2000, idMm / 2000];
    const lame = (3000 * (1 - 2 * STEEL_POISSON) * 20_000 * inner ** 2) / (STEEL_YOUNG_KPA * (outer ** 2 - inner ** 2));
    const sum = endCapStretchM(3000, 20_000, odMm, idMm) + ballooningStretchM(3000, 20_000, 0, odMm, idMm);
    expect(off(sum, lame)).toBeLessThan(1e-12);
    const hung = hangString([{ lengthM: 3000, odMm, idMm, massKgM: 30 }], 3000);
    expect(off(insidePressureStretchM(hung, 20_000, 20_000), lame)).toBeLessThan(1e-12);
  });

  it('while circulating: end cap of the tool difference, drag of the flow, ballooning of the mean, even pipe', () => {
    const hung = hangString([{ lengthM: 3000, odMm, idMm, massKgM: 30 }], 3000);
    const [surface, tool] = [18_000, 8000];
    // The wall takes the pressure drop of the flow over the bore as a pull that grows from the end to the surface.
    const drag = elasticStretchM(3000, endCapForceKn((surface - tool) / 2, idMm), PIPE_AREA);
    const expected =
      endCapStretchM(3000, tool, odMm, idMm) + drag + ballooningStretchM(3000, (surface + tool) / 2, 0, odMm, idMm);
    expect(off(insidePressureStretchM(hung, surface, tool), expected)).toBeLessThan(1e-12);
  });

  it('outside pressure lengthens: the same all round pulls by 2ν·p·L/E', () => {
    expect(
      off(ballooningStretchM(1000, 5000, 5000, odMm, idMm), (2 * 0.3 * 1000 * 5000) / STEEL_YOUNG_KPA),
    ).toBeLessThan(1e-9);
  });
});

describe('free point', () => {
  it.each<[string, number, number, number, number, number]>([
    // Lapeyrouse (seen): constant 2,500 As, L = e · FPC / F.
    ['3-1/2 x 2.992', 3.5, 2.992, 20, 25_000, 5180],
    ['2-7/8 x 2.441', 2.875, 2.441, 25, 20_000, 5663],
    // The same by 735,294 e W / F of 17.93 lb/ft, whose 3.4 is a rounded density.
    ['5 x 4.276', 5, 4.276, 24, 30_000, 10_547],
  ])('%s', (_name, od, id, movement, pull, printed) => {
    const depth = freePointM(inch(movement) / 1000, lbf(pull), steelAreaMm2(inch(od), inch(id)));
    expect(off(fromInside(depth, 'ft'), printed)).toBeLessThan(3e-4);
  });

  it.each<[string, number, number, number, number]>([
    ['3-1/2 x 2.992', 3.5, 2.992, 6475.5, 1e-4],
    ['2-7/8 x 2.441', 2.875, 2.441, 4530, 1e-4],
    ['4-1/2 x 3.826', 4.5, 3.826, 11_017.5, 2e-4],
  ])('Lapeyrouse (seen), free point constant of %s: ft for an inch and 1,000 lbf', (_name, od, id, printed, most) => {
    const depth = freePointM(inch(1) / 1000, lbf(1000), steelAreaMm2(inch(od), inch(id)));
    expect(off(fromInside(depth, 'ft'), printed)).toBeLessThan(most);
  });

  it('the 735,000 method (seen, print rounded): 17 lb/ft, 25.75 in, 45,240 lbf, 7,100 ft', () => {
    const depth = freePointM(inch(25.75) / 1000, lbf(45_240), areaOfMassMm2(lbFt(17)));
    expect(off(fromInside(depth, 'ft'), 7100)).toBeLessThan(2e-3);
    expect(off(fromInside(depth, 'ft'), 7112)).toBeLessThan(1e-3);
  });
});

const strings = fc.array(
  fc.record<StringSection>({
    lengthM: fc.double({ min: 5, max: 1500, noNaN: true }),
    odMm: fc.double({ min: 90, max: 150, noNaN: true }),
    idMm: fc.double({ min: 40, max: 80, noNaN: true }),
    massKgM: fc.double({ min: 20, max: 90, noNaN: true }),
  }),
  { minLength: 1, maxLength: 5 },
);
const share = fc.double({ min: 0.001, max: 1, noNaN: true });
const pull = fc.double({ min: 1, max: 900, noNaN: true });

describe('a held string with sections', () => {
  it('moves by the sum of its sections, and the depth is found back from the movement', () => {
    fc.assert(
      fc.property(strings, share, pull, (sections, part, force) => {
        const end = sections.reduce((sum, { lengthM }) => sum + lengthM, 0);
        const hung = hangString(sections, end);
        const whole = hung.reduce(
          (sum, { fromM, toM, section: { odMm, idMm } }) =>
            sum + elasticStretchM(toM - fromM, force, steelAreaMm2(odMm, idMm)),
          0,
        );
        expect(elasticMovementM(hung, end, force)).toBeCloseTo(whole, 9);
        expect(elasticMovementM(hung, end, -force)).toBeCloseTo(-whole, 9);
        const depth = part * end;
        expect(fixedDepthM(hung, elasticMovementM(hung, depth, force), force)).toBeCloseTo(depth, 6);
        expect(fixedDepthM(hung, elasticMovementM(hung, depth, -force), -force)).toBeCloseTo(depth, 6);
      }),
    );
  });

  it('says so when more moved than the string can give, or the wrong way', () => {
    const hung = hangString([{ lengthM: 2000, ...DRILL_PIPE, massKgM: 30 }], 2000);
    expect(fixedDepthM(hung, elasticMovementM(hung, 2000, 100) + 0.01, 100)).toBeNaN();
    expect(fixedDepthM(hung, -0.2, 100)).toBeNaN();
    expect(fixedDepthM(hung, 0.2, 0)).toBeNaN();
  });
});
