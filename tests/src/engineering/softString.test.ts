/** Drag and torque against closed forms, an ODE solver of another hand, and what must hold of any string. */
import { createRequire } from 'node:module';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buoyedWeightKn, STEEL_DENSITY_KG_M3 } from '../../../src/engineering/buoyancy.ts';
import {
  availableSetDownKn,
  type HoleSection,
  layOutString,
  MAX_ELEMENT_M,
  MAX_ELEMENT_TURN_DEG,
  type StringInHole,
  setDownBeforeBucklingKn,
  sinusoidalBucklingKn,
  softString,
} from '../../../src/engineering/softString.ts';
import { ownWeightStretchM, STEEL_YOUNG_KPA, tensionStretchM } from '../../../src/engineering/stretch.ts';
import { type SurveyStation, surveyProblems, wellPath } from '../../../src/engineering/survey.ts';
import type { StringSection } from '../../../src/engineering/volumes.ts';
import { fromInside, toInside } from '../../../src/units.ts';

/** An ODE solver of another hand. Its package comes as source that our compiler settings refuse, so its shape is told here. */
interface OdeSolver {
  maxStepSize: number;
  solve(slope: (x: number, y: number[]) => number[], x0: number, y0: number[], x1: number): { y: number[] };
}
const { Solver } = createRequire(import.meta.url)('odex') as { Solver: new (equations: number) => OdeSolver };

const feet = (value: number) => toInside(value, 'ft');
const off = (value: number, expected: number) => Math.abs(value / expected - 1);
const rad = (degrees: number) => (degrees * Math.PI) / 180;
const station = (md: number, inclination: number, azimuth: number): SurveyStation => ({ md, inclination, azimuth });
const LB_FT = 1.4881639435695537;

/** The build section of the reference: 60° at the bottom, vertical at the top, 4° per 100 ft. */
const RADIUS_FT = 1432.394488;
const BUILD_M = feet(RADIUS_FT * rad(60));
const FRICTION = 0.3;

function build(weightLbFt: number, stations = 1): StringInHole {
  const survey = Array.from({ length: stations + 1 }, (_, i) =>
    station((BUILD_M * i) / stations, (60 * i) / stations, 140),
  );
  return {
    path: wellPath(survey),
    string: [{ lengthM: 1, odMm: 127, idMm: 108.6, massKgM: weightLbFt * LB_FT }],
    hole: [{ fromM: 0, toM: BUILD_M, idMm: 215.9, friction: FRICTION }],
    fluidDensityKgM3: 0,
    endDepthM: BUILD_M,
  };
}

const hoistLbf = (setup: StringInHole, pounds: number) =>
  fromInside(
    softString(layOutString(setup), { mode: 'up', endForceKn: toInside(pounds, 'lbf') }).surfaceForceKn,
    'lbf',
  );

describe('the soft string (Johancsik, Friesen & Dawson 1984, equations from memory)', () => {
  it('own: hoisting through a build, 15 lb/ft buoyed, 50,000 lbf below, against the ODE solver odex and the closed form', () => {
    // dT/dθ while the tension holds the string on the upper side, θ the inclination, walked from 60° to 0.
    const wr = 15 * RADIUS_FT;
    const slope = (theta: number, [t]: number[]) => [-wr * Math.cos(theta) - FRICTION * (t! - wr * Math.sin(theta))];
    const [solved] = new Solver(1).solve(slope, rad(60), [50_000], 0).y;
    expect(solved).toBeCloseTo(85_993.0823, 2);
    expect(off(hoistLbf(build(15), 50_000), 85_993.0823)).toBeLessThan(1e-5);
    // Cut by the stations of a survey every degree, it is the same hole.
    expect(off(hoistLbf(build(15, 60), 50_000), 85_993.0823)).toBeLessThan(1e-5);
  });

  it('own: the mean tension is second order, where the 1984 stepping at 1° reads 85,885 lbf, 0.12 % low', () => {
    expect(off(85_885, 85_993.0823)).toBeGreaterThan(1e-3);
    const coarse = off(hoistLbf(build(15, 60), 50_000), 85_993.0823);
    const fine = off(hoistLbf(build(15, 120), 50_000), 85_993.0823);
    expect(fine).toBeLessThan(coarse / 3);
  });

  it('own, capstan: a weightless string, 50,000 · exp(0.3 π/3) = 68,455.388 lbf', () => {
    expect(off(hoistLbf(build(1e-9), 50_000), 68_455.388)).toBeLessThan(1e-5);
  });

  it('own: slacking off through the same build, against the ODE solver odex', () => {
    const wr = 15 * RADIUS_FT;
    const slope = (theta: number, [t]: number[]) => [
      -wr * Math.cos(theta) + FRICTION * Math.abs(t! - wr * Math.sin(theta)),
    ];
    for (const force of [50_000, 12_000, -5000]) {
      const solver = new Solver(1);
      // The side changes within the arc for some of these: small steps across the corner.
      solver.maxStepSize = 1e-3;
      const [solved] = solver.solve(slope, rad(60), [force], 0).y;
      const { surfaceForceKn } = softString(layOutString(build(15)), {
        mode: 'down',
        endForceKn: toInside(force, 'lbf'),
      });
      expect(off(fromInside(surfaceForceKn, 'lbf'), solved!)).toBeLessThan(1e-4);
    }
  });

  it('own: torque of a string turning in the build, against the integral of μ·|T/R − w sin θ|·r by odex', () => {
    const wr = 15 * RADIUS_FT;
    const slope = (theta: number, [t]: number[]) => [
      -wr * Math.cos(theta),
      -FRICTION * Math.abs(t! - wr * Math.sin(theta)),
    ];
    const [tension, sideLbf] = new Solver(2).solve(slope, rad(60), [50_000, 0], 0).y;
    const layout = layOutString(build(15));
    const forces = softString(layout, { mode: 'rotating', endForceKn: toInside(50_000, 'lbf'), endTorqueKnm: 3 });
    expect(off(fromInside(forces.surfaceForceKn, 'lbf'), tension!)).toBeLessThan(1e-9);
    expect(off(forces.surfaceTorqueKnm - 3, toInside(sideLbf!, 'lbf') * 0.0635)).toBeLessThan(1e-5);
  });

  it('own, by hand: a straight hole of 50°, W (cos θ ± μ sin θ), and torque μ W sin θ r on the tool joints', () => {
    const setup: StringInHole = {
      path: wellPath([station(0, 50, 10), station(1000, 50, 10)]),
      string: [{ lengthM: 1000, odMm: 127, idMm: 108.6, massKgM: 31, contactOdMm: 168.3 }],
      hole: [{ fromM: 0, toM: 1000, idMm: 215.9, friction: 0.25 }],
      fluidDensityKgM3: 1180,
      endDepthM: 1000,
    };
    const layout = layOutString(setup);
    const weight = buoyedWeightKn(31, 1000, 1180);
    const run = (mode: 'up' | 'down' | 'rotating') => softString(layout, { mode, endForceKn: -40 });
    expect(run('up').surfaceForceKn).toBeCloseTo(weight * (Math.cos(rad(50)) + 0.25 * Math.sin(rad(50))) - 40, 6);
    expect(run('down').surfaceForceKn).toBeCloseTo(weight * (Math.cos(rad(50)) - 0.25 * Math.sin(rad(50))) - 40, 6);
    expect(run('rotating').surfaceForceKn).toBeCloseTo(weight * Math.cos(rad(50)) - 40, 6);
    expect(run('rotating').surfaceTorqueKnm).toBeCloseTo(0.25 * weight * Math.sin(rad(50)) * 0.08415, 6);
    expect(run('up').surfaceTorqueKnm).toBe(0);
  });

  it('own: a turn in the horizontal plane, where weight and bend stand square to each other, against odex', () => {
    const radius = 400;
    const weight = buoyedWeightKn(31, 1, 1180);
    const setup: StringInHole = {
      path: wellPath([station(0, 90, 350), station(radius * rad(80), 90, 70)]),
      string: [{ lengthM: 1, odMm: 127, idMm: 108.6, massKgM: 31 }],
      hole: [{ fromM: 0, toM: 2000, idMm: 215.9, friction: 0.3 }],
      fluidDensityKgM3: 1180,
      endDepthM: radius * rad(80),
    };
    const slope = (_: number, [t]: number[]) => [0.3 * Math.hypot(t!, weight * radius)];
    const [solved] = new Solver(1).solve(slope, 0, [200], rad(80)).y;
    const { surfaceForceKn } = softString(layOutString(setup), { mode: 'up', endForceKn: 200 });
    expect(off(surfaceForceKn, solved!)).toBeLessThan(1e-5);
  });
});

describe('a layout', () => {
  it('keeps its elements short, straight enough and within one section of everything', () => {
    const survey = [station(300, 0, 0), station(700, 40, 30), station(1500, 62, 140), station(2530, 62, 140)];
    const path = wellPath(survey);
    const layout = layOutString({ ...REAL, path, endDepthM: 2477.3 });
    for (let i = 0; i < layout.elements; i += 1) {
      const [top, bottom] = [layout.depthM[i]!, layout.depthM[i + 1]!];
      expect(bottom - top).toBeGreaterThan(0);
      expect(bottom - top).toBeLessThanOrEqual(MAX_ELEMENT_M + 1e-9);
      expect(path.dogleg(top, bottom)).toBeLessThanOrEqual(MAX_ELEMENT_TURN_DEG + 1e-6);
      for (const edge of [300, 700, 1500, 2405, 2477.3 - 150]) expect(top < edge && edge < bottom).toBe(false);
    }
    expect(layout.depthM[0]).toBe(0);
    expect(layout.depthM[layout.elements]).toBe(2477.3);
  });

  it('says how much of the string lies outside the hole sections', () => {
    const hole: HoleSection[] = [
      { fromM: 100, toM: 1000, idMm: 220, friction: 0.2 },
      { fromM: 1200, toM: 2000, idMm: 216, friction: 0.4 },
    ];
    const layout = layOutString({ ...REAL, hole, endDepthM: 2100 });
    expect(layout.uncoveredM).toBeCloseTo(400, 9);
    expect(layout.friction[0]).toBe(0.2);
    expect(layout.friction[layout.elements - 1]).toBe(0.4);
    expect(layOutString(REAL).uncoveredM).toBe(0);
  });

  it('gives the tension along the string that the stretch needs: a vertical string by its own weight', () => {
    const string: StringSection[] = [{ lengthM: 2000, odMm: 127, idMm: 108.6, massKgM: 31 }];
    const layout = layOutString({ ...REAL, path: wellPath([]), string, endDepthM: 2000 });
    const { tensionKn } = softString(layout, { mode: 'rotating' });
    const sum = tensionStretchM(layout.depthM, tensionKn, layout.areaMm2);
    const weight = buoyedWeightKn(31, 1, REAL.fluidDensityKgM3);
    expect(off(sum, ownWeightStretchM(2000, weight, layout.areaMm2[0]!))).toBeLessThan(1e-9);
  });
});

/** Drill pipe over heavier pipe, to the end of an inclined hole. */
const REAL: StringInHole = {
  path: wellPath([station(0, 0, 0), station(800, 0, 0), station(1400, 45, 140), station(2530, 62, 150)]),
  string: [
    { lengthM: 2380, odMm: 127, idMm: 108.6, massKgM: 31, contactOdMm: 168.3 },
    { lengthM: 150, odMm: 139.7, idMm: 92, massKgM: 72 },
  ],
  hole: [
    { fromM: 0, toM: 2405, idMm: 220.5, friction: 0.25 },
    { fromM: 2405, toM: 2530, idMm: 215.9, friction: 0.35 },
  ],
  fluidDensityKgM3: 1180,
  endDepthM: 2530,
};

const setups = fc
  .record({
    steps: fc.array(
      fc.record({
        step: fc.double({ min: 30, max: 400, noNaN: true }),
        inclination: fc.double({ min: 0, max: 95, noNaN: true }),
        azimuth: fc.double({ min: 0, max: 90, noNaN: true }),
      }),
      { minLength: 1, maxLength: 8 },
    ),
    friction: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
    fluid: fc.double({ min: 0, max: 2000, noNaN: true }),
    split: fc.double({ min: 5, max: 900, noNaN: true }),
    force: fc.double({ min: -60, max: 200, noNaN: true }),
  })
  .map(({ steps, friction, fluid, split, force }) => {
    let md = 0;
    const survey = steps.map(({ step, inclination, azimuth }) => {
      md += step;
      return station(md, inclination, azimuth);
    });
    const setup: StringInHole = {
      path: wellPath(surveyProblems(survey).length === 0 ? survey : []),
      string: [REAL.string[0]!, { ...REAL.string[1]!, lengthM: split }],
      hole: [{ fromM: 0, toM: md, idMm: 215.9, friction }],
      fluidDensityKgM3: fluid,
      endDepthM: md,
    };
    return { setup, force };
  });

describe('any string', () => {
  it('weighs as much or more coming up as rotating, and as much or less going down; more friction, more of it', () => {
    fc.assert(
      fc.property(setups, ({ setup, force }) => {
        const layout = layOutString(setup);
        const rougher = layOutString({
          ...setup,
          hole: setup.hole.map((one) => ({ ...one, friction: one.friction * 1.2 })),
        });
        const at = (of: typeof layout, mode: 'up' | 'down' | 'rotating') => softString(of, { mode, endForceKn: force });
        const [up, down, free] = [at(layout, 'up'), at(layout, 'down'), at(layout, 'rotating')];
        expect(up.surfaceForceKn).toBeGreaterThanOrEqual(free.surfaceForceKn);
        expect(down.surfaceForceKn).toBeLessThanOrEqual(free.surfaceForceKn);
        expect(free.surfaceTorqueKnm).toBeGreaterThanOrEqual(0);
        expect(at(rougher, 'up').surfaceForceKn).toBeGreaterThanOrEqual(up.surfaceForceKn - 1e-9);
        expect(at(rougher, 'down').surfaceForceKn).toBeLessThanOrEqual(down.surfaceForceKn + 1e-9);
        expect(at(rougher, 'rotating').surfaceTorqueKnm).toBeCloseTo(free.surfaceTorqueKnm * 1.2, 9);
      }),
    );
  });

  it('without friction weighs its sections in the fluid over their vertical depth, whichever way it moves', () => {
    fc.assert(
      fc.property(setups, ({ setup, force }) => {
        const smooth = { ...setup, hole: setup.hole.map((one) => ({ ...one, friction: 0 })) };
        const layout = layOutString(smooth);
        const weight = layout.hung.reduce((sum, { fromM, toM, section }) => {
          const down = setup.path.at(toM).tvd - setup.path.at(fromM).tvd;
          return sum + buoyedWeightKn(section.massKgM, down, setup.fluidDensityKgM3);
        }, force);
        for (const mode of ['up', 'down', 'rotating'] as const) {
          const forces = softString(layout, { mode, endForceKn: force });
          expect(forces.surfaceForceKn).toBeCloseTo(weight, 6);
          expect(forces.surfaceTorqueKnm).toBe(0);
        }
      }),
    );
  });

  it('in two parts, the lower one hung on the upper, is the whole', () => {
    fc.assert(
      fc.property(setups, ({ setup, force }) => {
        const layout = layOutString(setup);
        const whole = softString(layout, { mode: 'up', endForceKn: force });
        const cut = Math.floor(layout.elements / 2);
        // The upper half of the same string, ending at a node, pulled by the tension found there.
        const top = layout.hung.filter(({ fromM }) => fromM < layout.depthM[cut]!);
        const upper = layOutString({
          ...setup,
          string: top.map(({ fromM, toM, section }) => ({
            ...section,
            lengthM: Math.min(toM, layout.depthM[cut]!) - fromM,
          })),
          endDepthM: Math.max(layout.depthM[cut]!, 1e-3),
        });
        const joined = softString(upper, { mode: 'up', endForceKn: whole.tensionKn[cut]! });
        expect(joined.surfaceForceKn).toBeCloseTo(whole.surfaceForceKn, 1);
      }),
    );
  });

  it('has no weight, no drag and no torque in a fluid as dense as itself', () => {
    const layout = layOutString({ ...REAL, fluidDensityKgM3: STEEL_DENSITY_KG_M3 });
    for (const mode of ['up', 'down', 'rotating'] as const) {
      const { surfaceForceKn, surfaceTorqueKnm } = softString(layout, { mode });
      expect(surfaceForceKn).toBeCloseTo(0, 9);
      expect(surfaceTorqueKnm).toBeCloseTo(0, 9);
    }
  });
});

describe('available set-down', () => {
  it('leaves the least weight at surface, to its step', () => {
    fc.assert(
      fc.property(setups, fc.double({ min: 0, max: 300, noNaN: true }), ({ setup }, least) => {
        const layout = layOutString(setup);
        const at = (setDown: number) => softString(layout, { mode: 'down', endForceKn: -setDown }).surfaceForceKn;
        const most = availableSetDownKn(layout, least);
        if (at(0) < least) expect(most).toBe(0);
        else {
          expect(at(most)).toBeGreaterThanOrEqual(least);
          expect(at(most + 0.011)).toBeLessThan(least);
        }
      }),
    );
  });

  it('by hand: in a vertical hole all that hangs over the least weight', () => {
    const layout = layOutString({ ...REAL, path: wellPath([]) });
    const weight = buoyedWeightKn(31, 2380, 1180) + buoyedWeightKn(72, 150, 1180);
    expect(availableSetDownKn(layout, 100)).toBeCloseTo(weight - 100, 1);
    expect(availableSetDownKn(layout, weight + 1)).toBe(0);
  });
});

describe('sinusoidal buckling (Dawson & Paslay 1984, from memory)', () => {
  it('own: is the least, over all wavelengths, of bending and lifting a rod in a trough', () => {
    const [od, id, weight, inclination, clearance] = [0.127, 0.1086, 0.26, 62, 0.04445];
    const stiffness = STEEL_YOUNG_KPA * (Math.PI / 64) * (od ** 4 - id ** 4);
    let least = Number.POSITIVE_INFINITY;
    for (let halfWave = 1; halfWave < 60; halfWave += 0.001) {
      const k = (Math.PI / halfWave) ** 2;
      least = Math.min(least, stiffness * k + (weight * Math.sin(rad(inclination))) / clearance / k);
    }
    const load = sinusoidalBucklingKn(od * 1000, id * 1000, weight, inclination, clearance * 1000);
    expect(off(load, least)).toBeLessThan(1e-6);
  });

  it('knows no strength in a vertical hole, and no buckling without clearance', () => {
    expect(sinusoidalBucklingKn(127, 108.6, 0.26, 0, 44)).toBe(0);
    expect(sinusoidalBucklingKn(127, 108.6, 0.26, 60, 0)).toBe(Number.POSITIVE_INFINITY);
  });

  it('bounds the set-down: no judged element past its load at it, one past it just over', () => {
    const layout = layOutString(REAL);
    const most = setDownBeforeBucklingKn(layout, 20);
    const margin = (setDown: number) => {
      const { tensionKn } = softString(layout, { mode: 'down', endForceKn: -setDown });
      let worst = Number.POSITIVE_INFINITY;
      for (let i = 0; i < layout.elements; i += 1) {
        if (REAL.path.at((layout.depthM[i]! + layout.depthM[i + 1]!) / 2).inclination < 20) continue;
        worst = Math.min(worst, tensionKn[i]! + layout.bucklingKn[i]!, tensionKn[i + 1]! + layout.bucklingKn[i]!);
      }
      return worst;
    };
    expect(most).toBeGreaterThan(10);
    expect(margin(most)).toBeGreaterThanOrEqual(0);
    expect(margin(most + 0.02)).toBeLessThan(0);
    expect(setDownBeforeBucklingKn(layOutString({ ...REAL, path: wellPath([]) }), 20)).toBe(Number.POSITIVE_INFINITY);
  });
});
