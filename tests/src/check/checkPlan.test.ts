/** The check of the demo plan, number by number against a second way of working each out; and what must hold for any plan. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPlan } from '../../../src/check/checkPlan.ts';
import { compileJob, planProblems } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { fromInside, type Quantity, SYSTEM_UNITS, toInside } from '../../../src/units.ts';
import { caliperOf, checkOf, demoLog, demoPlan, fieldPlan, type LoosePlan, rowOf } from './checkOf.ts';
import { walkString } from './walkString.ts';

const plan = demoPlan();
const check = checkOf(plan, demoLog());
const off = (value: number | null, wanted: number) => Math.abs(value! / wanted - 1);

describe('the roadmap of the demo plan', () => {
  it('has the joints that are to be expanded, from the top down, each at the middle of its part', () => {
    expect(check.roadmap.map(({ joint }) => joint)).toEqual(['Z1', 'S1', 'S2', 'S3', 'S4', 'Z2', 'S5', 'S6']);
    // 2410.00 + 9.20 + 11.90 = 2431.10, its part from 0.90 to 6.50, the upper tool 5.40 above the end.
    expect(rowOf(check, 'Z1')).toMatchObject({ depth: 2434.8, endDepth: 2440.2, rollsWith: 'upper', path: 'high' });
    // 2431.10 + 7.40 = 2438.50, its part from 0.60 to 11.10, the lower tool 1.10 above the end.
    expect(rowOf(check, 'S1')).toMatchObject({ depth: 2444.35, endDepth: 2445.45, rollsWith: 'lower', path: 'low' });
    expect(rowOf(check, 'Z1').window).toEqual({ at: 'standpipe', min: 16000, max: 22000, aim: 19000 });
  });

  it('the flow makes the tool pressure by Bernoulli, and the losses make up the rest of the standpipe', () => {
    for (const row of check.roadmap) {
      const areaM2 = (row.kind === 'isolation' ? 117e-6 : 140e-6) * 0.95;
      const dropKpa = ((1180 / 2) * (row.flow! / 60_000 / areaM2) ** 2) / 1000;
      expect(off(row.tool, dropKpa), row.joint).toBeLessThan(2e-4);
      expect(row.standpipe).toBe(row.kind === 'isolation' ? 19000 : 9250);
    }
    for (const one of check.hydraulics.circulations) {
      expect(one.insideLoss + one.tool + one.annulusLoss).toBeCloseTo(one.standpipe, 0);
      const sum = (where: string) => one.sections.reduce((all, it) => all + (it.where === where ? it.loss : 0), 0);
      expect(Math.abs(sum('inside') - one.insideLoss)).toBeLessThan(0.3);
      expect(Math.abs(sum('annulus') - one.annulusLoss)).toBeLessThan(0.3);
      // ρ + Δp / (g h).
      expect(one.ecd).toBeCloseTo(1180 + (one.annulusLoss * 1000) / (9.80665 * rowOf(check, one.joint).tvd!), 1);
    }
  });

  it('losses inside lie near those of the two-range power law of API RP 13D (equation sheet), worked out here in field units', () => {
    const [isolation] = check.hydraulics.circulations;
    const gpm = isolation!.flow / 3.785411784;
    const ppg = 1180 / 119.8264273;
    const n = 3.32 * Math.log10(38 / 24);
    const k = (5.11 * 38) / 1022 ** n;
    const lossKpa = (idMm: number, lengthM: number): number => {
      const d = idMm / 25.4;
      const v = (0.408 * gpm) / d ** 2;
      const viscosity = 100 * k * ((96 * v) / d) ** (n - 1) * ((3 * n + 1) / (4 * n)) ** n;
      const re = (928 * d * v * ppg) / viscosity;
      const f = (Math.log10(n) + 3.93) / 50 / re ** ((1.75 - Math.log10(n)) / 7);
      return ((f * v ** 2 * ppg) / (25.81 * d)) * (lengthM / 0.3048) * 6.894757;
    };
    const inside = lossKpa(108.6, isolation!.endDepth - 120) + lossKpa(70.2, 120);
    expect(off(isolation!.insideLoss, inside)).toBeLessThan(0.06);
  });

  it('weights, torque and stretch are those of a string walked in steps of 0.1 m', () => {
    for (const name of ['Z1', 'S4', 'S6']) {
      const row = rowOf(check, name);
      const walked = walkString(plan, row.endDepth);
      expect(Math.abs(row.tvd! - walked.tvdM), name).toBeLessThan(0.02);
      expect(off(row.hookload.rotating, walked.rotatingKn + 180), name).toBeLessThan(1e-4);
      expect(off(row.hookload.up, walked.upKn + 180), name).toBeLessThan(1e-3);
      expect(off(row.hookload.down, walked.downKn + 180), name).toBeLessThan(1e-3);
      expect(off(row.torque, walked.torqueKnm), name).toBeLessThan(5e-3);
      expect(off(row.stretchParts.weight, walked.stretchM), name).toBeLessThan(2e-3);
      // (20 + 74) / 2 − 16 = 31 °C at 6.9e-6 per °F.
      expect(row.stretchParts.temperature).toBeCloseTo(6.9e-6 * 1.8 * row.endDepth * 31, 3);
      expect(row.stretch).toBeCloseTo(row.stretchParts.weight! + row.stretchParts.temperature!, 2);
    }
  });

  it('stretch by pressure and by pull, and the set-down, by hand at S6', () => {
    const row = rowOf(check, 'S6');
    const parts = [
      { lengthM: row.endDepth - 120, od: 127, id: 108.6 },
      { lengthM: 120, od: 88.9, id: 70.2 },
    ];
    const area = (d: number) => (Math.PI / 4) * d * d;
    const young = 206.8427e6;
    let top = 0;
    let pressure = 0;
    let pull = 0;
    for (const { lengthM, od, id } of parts) {
      const share = (top + lengthM / 2) / row.endDepth;
      const mean = row.standpipe! + (row.tool! - row.standpipe!) * share;
      pressure += ((0.4 * mean * area(id)) / (area(od) - area(id)) / young) * lengthM;
      pull += (10 * lengthM) / (young * (area(od) - area(id)) * 1e-6);
      top += lengthM;
    }
    expect(row.stretchParts.pressure).toBeCloseTo(pressure, 3);
    expect(row.stretchParts.perTenPull).toBeCloseTo(pull, 3);
    expect(row.setDown).toEqual({ available: 60, until: 'limits.setDown.max' });
  });

  it('the fit of the dials is the best of a plain search, and the figures are those of the dials', () => {
    const { rheology } = check.hydraulics;
    expect(rheology!.figures).toMatchObject({ plasticViscosity: 14, yieldPoint: 10 });
    expect(rheology!.figures.n).toBeCloseTo(3.322 * Math.log10(38 / 24), 3);
    expect([rheology!.chosen, rheology!.chosenBy]).toEqual(['herschel-bulkley', 'residual']);
    const chosen = rheology!.fits.find(({ model }) => model === rheology!.chosen)!;
    for (const other of rheology!.fits) expect(chosen.residual).toBeLessThanOrEqual(other.residual);
    const rms = Math.sqrt(
      [
        [600, 38],
        [300, 24],
        [6, 4],
        [3, 3],
      ].reduce((sum, [rpm, dial]) => {
        const stress = chosen.yield + chosen.consistency * ((rpm! * 1022) / 600) ** chosen.n;
        return sum + (stress / 0.511 - dial!) ** 2;
      }, 0) / 4,
    );
    expect(rms).toBeCloseTo(chosen.residual, 2);
  });
});

describe('balls, hole and fluid of the demo plan', () => {
  it('balls: bore volume, strokes of two pumps at 97 %, minutes at two flows', () => {
    const capacity = (mm: number) => (Math.PI / 4) * (mm / 1000) ** 2;
    // Set with the end at 2440.20: inner string from 2320.20, the seat at 2411.50.
    const volume = capacity(108.6) * 2320.2 + capacity(70.2) * (2411.5 - 2320.2);
    const [setting] = check.balls;
    expect(check.balls.map(({ stringEnd }) => stringEnd)).toEqual([2440.2, check.balls[1]!.stringEnd]);
    expect(check.balls[1]!.stringEnd).toBeGreaterThan(2500);
    expect(setting!.seat.volume).toBeCloseTo(volume, 3);
    expect(off(setting!.seat.strokes, volume / (2 * 0.0162 * 0.97))).toBeLessThan(1e-5);
    expect(setting!.slow.volume).toBeCloseTo(volume - 2.5, 3);
    expect(setting!.slow.minutes).toBeCloseTo((volume - 2.5) / 0.6, 2);
    expect(setting!.seat.minutes).toBeCloseTo((volume - 2.5) / 0.6 + 2.5 / 0.2, 2);
    expect(setting!.overdue.volume).toBeCloseTo(volume + 2, 3);
  });

  const rows = demoLog()
    .split('\n')
    .filter((line) => /^\d/.test(line))
    .map((line) => line.split(',').map(Number) as [number, number, number]);
  /** Share of a stretch in which the wider or the narrower arm is beyond a bound, by millimetre of depth. */
  const shareOf = (from: number, to: number, holds: (wide: number, narrow: number) => boolean): number => {
    let count = 0;
    const steps = Math.round((to - from) * 1000);
    for (let i = 0; i < steps; i += 1) {
      const depth = from + (i + 0.5) / 1000;
      const at = Math.floor((depth - rows[0]![0]) * 10 + 1e-9);
      const share = (depth - rows[at]![0]) * 10;
      const a = rows[at]![1] + share * (rows[at + 1]![1] - rows[at]![1]);
      const b = rows[at]![2] + share * (rows[at + 1]![2] - rows[at]![2]);
      if (holds(Math.max(a, b), Math.min(a, b))) count += 1;
    }
    return count / steps;
  };

  it('gauge, contact and space-out are those counted millimetre by millimetre', () => {
    const joint = (name: string) => check.hole!.joints.find((one) => one.joint === name)!;
    expect(joint('Z2').overGauge).toBeCloseTo(
      shareOf(2485.55, 2491.15, (wide) => wide > 222),
      3,
    );
    expect(joint('S3').tight).toBeCloseTo(
      shareOf(2462.1, 2472.55, (_, narrow) => narrow < 204),
      3,
    );
    // Expanded to 205 mm with 8 mm of elastomer: it touches where the hole is 2 × (8 + 1) mm wider at most.
    expect(joint('Z2').contact).toBeCloseTo(
      shareOf(2485.55, 2491.15, (wide) => (wide - 205) / 2 <= 9),
      3,
    );
    expect(joint('Z1')).toMatchObject({ inGauge: 1, contact: 1 });
    const closed = (Math.PI / 4) * (0.205 ** 2 - 0.146 ** 2) * 5.6;
    expect(joint('Z1').closed).toBeCloseTo(closed, 3);
    const { spaceOut } = check.hole!;
    const inGauge = (shift: number) =>
      [2432, 2485.55].reduce((sum, from) => {
        const good = shareOf(from + shift, from + 5.6 + shift, (wide, narrow) => wide <= 222 && narrow >= 206);
        return sum + good * 5.6;
      }, 0);
    expect(spaceOut!.curve).toHaveLength(61);
    expect(spaceOut!.asPlanned).toBeCloseTo(inGauge(0), 2);
    expect(spaceOut!.shift).toBe(-0.8);
    expect(spaceOut!.inGauge).toBeCloseTo(inGauge(-0.8), 2);
    expect(inGauge(-0.7)).toBeLessThan(inGauge(-0.8));
  });

  it('the last three screen tests pass the rule', () => {
    expect(check.fluid).toMatchObject({ verdict: 'pass', inARow: 3, repeats: 3 });
    expect(check.fluid!.tests).toHaveLength(4);
  });
});

describe('any plan', () => {
  it('equal plans and logs make equal checks, to the byte', () => {
    const again = checkPlan(compileJob(planSchema.parse(demoPlan())), { caliper: caliperOf(demoLog()) });
    expect(JSON.stringify(again)).toBe(JSON.stringify(check));
  });

  it('without an engineering part: everything null, nothing fails, and each missing part is a finding', () => {
    const bare: LoosePlan = demoPlan();
    for (const part of ['fluid', 'string', 'hole', 'survey', 'surface', 'flowPath', 'depthTag', 'temperature']) {
      delete bare[part];
    }
    for (const part of ['balls', 'hanger', 'screenTests', 'limits']) delete bare[part];
    const answer = checkOf(bare);
    for (const row of answer.roadmap) {
      expect(row).toMatchObject({ flow: null, tool: null, torque: null, stretch: null, ecd: null, path: null });
      expect(row.hookload).toEqual({ up: null, down: null, rotating: null });
      expect(row.standpipe).toBe(row.kind === 'isolation' ? 19000 : 9250);
    }
    for (const part of ['string', 'fluid', 'hole', 'flowPath', 'temperature', 'surface.pumps', 'balls', 'hanger']) {
      expect(
        answer.findings.some(({ text }) => text.startsWith(`not given: ${part}:`)),
        part,
      ).toBe(true);
    }
    expect(answer).toMatchObject({ hole: null, fluid: null, balls: [] });
  });

  it('has the defaults that were used both as a list and as findings to be confirmed', () => {
    const places = check.defaults.map(({ place }) => place);
    expect(places).toContain('surface.pumps.efficiency');
    expect(places).toContain('check.contact.tolerance');
    expect(places).not.toContain('survey');
    for (const place of places) {
      const said = check.findings.filter(({ text }) => text.startsWith(`default to be confirmed: ${place} `));
      expect(said, place).toHaveLength(1);
    }
    expect(check.findings.at(-1)!.text).toBe(check.caution);
  });

  it('a plan with any part left out, any number ten or a thousand times off: a check that follows its schema', () => {
    const numbers = (value: LoosePlan, at: string[] = []): string[][] =>
      typeof value === 'number'
        ? [at]
        : Object.entries(value ?? {}).flatMap(([key, inner]) =>
            typeof value === 'object' ? numbers(inner, [...at, key]) : [],
          );
    const places = numbers(demoPlan());
    const parts = ['fluid', 'string', 'hole', 'survey', 'surface', 'flowPath', 'depthTag', 'temperature', 'limits'];
    const change = fc.record({ place: fc.constantFrom(...places), by: fc.constantFrom(1e-3, 0.1, 1.5, 10, 1e3) });
    const left = fc.subarray(parts, { maxLength: 3 });
    fc.assert(
      fc.property(left, fc.array(change, { maxLength: 3 }), fc.boolean(), (without, changes, logged) => {
        const plan = demoPlan();
        for (const { place, by } of changes) {
          const inside = place.slice(0, -1).reduce((at, key) => at[key], plan);
          inside[place.at(-1)!] *= by;
        }
        for (const part of without) delete plan[part];
        const parsed = planSchema.safeParse(plan);
        fc.pre(parsed.success && planProblems(parsed.data).length === 0);
        checkOf(plan, logged ? demoLog() : undefined);
      }),
      { numRuns: 80 },
    );
  });

  it('a joint lower down weighs more; in a denser fluid it weighs less', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2000, max: 15_000 }),
        fc.integer({ min: 100, max: 5000 }),
        fc.double({ min: 8.4, max: 16, noNaN: true }),
        (end, deeper, density) => {
          const at = (feet: number, ppg: number) => {
            const plan = fieldPlan(feet, { fluid: { density: ppg, dials: { 600: 38, 300: 24 } } });
            return rowOf(checkOf(plan), 'S1').hookload;
          };
          const here = at(end, density);
          for (const mode of ['up', 'down', 'rotating'] as const) {
            expect(at(end + deeper, density)[mode]!).toBeGreaterThan(here[mode]!);
            expect(at(end, density + 1)[mode]!).toBeLessThan(here[mode]!);
          }
        },
      ),
      { numRuns: 25 },
    );
  });

  it('more friction: more up, less down, more torque, the same free weight', () => {
    const withFriction = (friction: number) => {
      const changed = demoPlan();
      for (const part of changed.hole) part.friction = friction;
      return rowOf(checkOf(changed), 'S6');
    };
    const [smooth, rough] = [withFriction(0.15), withFriction(0.4)];
    expect(rough.hookload.up!).toBeGreaterThan(smooth.hookload.up!);
    expect(rough.hookload.down!).toBeLessThan(smooth.hookload.down!);
    expect(rough.torque!).toBeGreaterThan(smooth.torque!);
    expect(rough.hookload.rotating).toBe(smooth.hookload.rotating);
  });

  it('in field units the numbers mean the same', () => {
    const field = checkOf(inField(demoPlan()), demoLog());
    const out = (quantity: Quantity, value: number) => toInside(value, SYSTEM_UNITS.field[quantity]);
    for (const row of check.roadmap) {
      const other = rowOf(field, row.joint);
      expect(out('length', other.depth)).toBeCloseTo(row.depth, 2);
      expect(out('flow', other.flow!)).toBeCloseTo(row.flow!, 0);
      expect(out('pressure', other.tool!) / row.tool!).toBeCloseTo(1, 3);
      expect(out('force', other.hookload.up!) / row.hookload.up!).toBeCloseTo(1, 3);
      expect(out('torque', other.torque!) / row.torque!).toBeCloseTo(1, 2);
      expect(out('density', other.ecd!) / row.ecd!).toBeCloseTo(1, 3);
      expect(out('length', other.stretch!)).toBeCloseTo(row.stretch!, 2);
    }
    expect(out('volume', field.balls[0]!.seat.volume)).toBeCloseTo(check.balls[0]!.seat.volume, 2);
  });
});

/** The demo plan with each number of the parts that the roadmap stands on in field units. */
function inField(metric: LoosePlan): LoosePlan {
  const to = (quantity: Quantity) => (value: number) => fromInside(value, SYSTEM_UNITS.field[quantity]);
  const [length, diameter, pressure, force] = [to('length'), to('diameter'), to('pressure'), to('force')];
  for (const recipe of Object.values(metric.recipes) as LoosePlan[]) {
    recipe.pressure.min = pressure(recipe.pressure.min);
    recipe.pressure.max = pressure(recipe.pressure.max);
    recipe.torque.max = to('torque')(recipe.torque.max);
  }
  const liner = {
    top: length(metric.liner.top),
    joints: metric.liner.joints.map(({ name, kind, ...joint }: LoosePlan) => ({
      name,
      kind,
      length: length(joint.length),
      ...(joint.expandFrom === undefined
        ? {}
        : { expandFrom: length(joint.expandFrom), expandTo: length(joint.expandTo) }),
    })),
  };
  return {
    format: metric.format,
    units: 'field',
    liner,
    tools: metric.tools.map(({ name, offset }: LoosePlan) => ({ name, offset: length(offset) })),
    recipes: metric.recipes,
    fluid: { ...metric.fluid, density: to('density')(metric.fluid.density) },
    string: metric.string.map((part: LoosePlan) => ({
      length: length(part.length),
      od: diameter(part.od),
      id: diameter(part.id),
      mass: to('massPerLength')(part.mass),
    })),
    hole: metric.hole.map(({ from, to: end, id, friction }: LoosePlan) => ({
      from: length(from),
      to: length(end),
      id: diameter(id),
      friction,
    })),
    survey: metric.survey.map((station: LoosePlan) => ({ ...station, md: length(station.md) })),
    surface: { blockWeight: force(180) },
    temperature: Object.fromEntries(
      Object.entries(metric.temperature).map(([at, c]) => [at, to('temperature')(c as number)]),
    ),
    flowPath: {
      shiftsAt: to('flow')(metric.flowPath.shiftsAt),
      dischargeCoefficient: metric.flowPath.dischargeCoefficient,
      low: { area: to('area')(metric.flowPath.low.area) },
      high: { area: to('area')(metric.flowPath.high.area) },
    },
    balls: metric.balls.map((ball: LoosePlan) => ({
      name: ball.name,
      purpose: ball.purpose,
      seat: length(ball.seat),
      flow: to('flow')(ball.flow),
    })),
  };
}
