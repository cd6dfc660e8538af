/** Printed examples taken through the whole check, from a plan in field units to the figure in it. */
import { describe, expect, it } from 'vitest';
import { checkOf, fieldPlan, rowOf } from './checkOf.ts';

const off = (value: number | null, printed: number) => Math.abs(value! / printed - 1);

describe('printed examples through the whole check', () => {
  it('Bourgoyne et al., Applied Drilling Engineering (from memory): three 13/32 in nozzles, 12.0 lbm/gal, 400 gpm, 1,169 psi', () => {
    const pressure = { at: 'tool', min: 1169, max: 1169 };
    const plan = fieldPlan(10_000, {
      fluid: { density: 12, dials: { 600: 38, 300: 24 } },
      recipes: { screen: { tools: ['only'], pressure } },
    });
    const row = rowOf(checkOf(plan), 'S1');
    expect(row.tool).toBe(1169);
    expect(off(row.flow, 400)).toBeLessThan(5e-4);
  });

  it('the same nozzles the other way: the window makes 400 gpm and the tool shows the printed drop', () => {
    const plan = fieldPlan(10_000, { fluid: { density: 12, dials: { 600: 38, 300: 24 } } });
    plan.recipes.screen.pressure = { at: 'tool', min: 1069, max: 1269 };
    const check = checkOf(plan);
    expect(check.roadmap[0]!.window.aim).toBe(1169);
    expect(off(check.hydraulics.circulations[0]!.flow, 400)).toBeLessThan(5e-4);
  });

  it('Lapeyrouse, 3rd ed. (seen): 350,000 lb in air weigh 280,500 lb in 13.0 ppg', () => {
    const plan = fieldPlan(17_500, {
      fluid: { density: 13, dials: { 600: 38, 300: 24 } },
      string: [{ length: 17_500, od: 5, id: 4.276, mass: 20 }],
    });
    expect(off(rowOf(checkOf(plan), 'S1').hookload.rotating, 280.5)).toBeLessThan(2e-4);
  });

  it('Lapeyrouse (seen): 30,000 lb pull 24 in out of 10,547 ft of 5 in × 4.276 in pipe', () => {
    const row = rowOf(checkOf(fieldPlan(10_547)), 'S1');
    expect(off(row.stretchParts.perTenPull! * 3 * 12, 24)).toBeLessThan(2e-3);
  });

  it('tubing handbook page (seen): 10,000 ft between 80 °F and 375 °F grow 122.43 in, by 0.83 in per 100 ft and 100 °F', () => {
    const plan = fieldPlan(10_000, { temperature: { tallied: 80, surface: 80, bottom: 375 } });
    const { stretchParts } = rowOf(checkOf(plan), 'S1');
    // The rule is 0.24 % more than 6.9e-6 a degree.
    expect(off(stretchParts.temperature! * 12, 122.43)).toBeLessThan(3e-3);
  });

  it('Lapeyrouse (from memory): 9,400 ft of 5 in and 600 ft of 3 in bore hold 172.2 bbl, 1,266 strokes of 0.136 bbl', () => {
    const plan = fieldPlan(10_000, {
      string: [
        { length: 9400, od: 5, id: 4.276, mass: 20.9 },
        { length: 600, od: 8, id: 3, mass: 150 },
      ],
      hole: [{ from: 0, to: 10_100, id: 12.25, friction: 0.2 }],
      surface: { pumps: [{ name: '1', displacement: 0.136, efficiency: 1 }] },
      balls: [
        { name: 'b', purpose: 'set hanger', seat: 10_000, flow: 400, slowBefore: 10, slowFlow: 100, overdueAfter: 10 },
      ],
    });
    const [ball] = checkOf(plan).balls;
    expect(off(ball!.seat.volume, 172.2)).toBeLessThan(5e-4);
    expect(off(ball!.seat.strokes, 1266)).toBeLessThan(5e-4);
  });

  it('Bourgoyne et al. (from memory): dials 12 at 300 and 20 at 600 rpm make n 0.737 and K 61.8 eq cP', () => {
    const { rheology } = checkOf(fieldPlan(5000, { fluid: { density: 10, dials: { 600: 20, 300: 12 } } })).hydraulics;
    expect(rheology!.figures.n).toBeCloseTo(0.737, 3);
    expect(off(rheology!.figures.k, 61.8)).toBeLessThan(1e-3);
    expect([rheology!.figures.plasticViscosity, rheology!.figures.yieldPoint]).toEqual([8, 4]);
  });

  it('Guo & Liu, Applied Drilling Circulation Systems, 2011, example 2.6 (seen): velocities of 300 gpm', () => {
    const plan = fieldPlan(3000, {
      fluid: { density: 10.5, dials: { 600: 38, 300: 24 } },
      string: [{ length: 3000, od: 4.5, id: 3.826, mass: 18 }],
    });
    // The pressure that 300 gpm make through the nozzles, by the field form of the nozzle equation of the same book.
    const drop = (10.5 * 300 ** 2) / (12_031 * 0.95 ** 2 * 0.3889 ** 2);
    plan.recipes.screen.pressure = { at: 'tool', min: drop, max: drop };
    const [circulation] = checkOf(plan).hydraulics.circulations;
    expect(off(circulation!.flow, 300)).toBeLessThan(1e-3);
    const feetPerSecond = circulation!.sections.map(({ where, velocity }) => [where, velocity / 0.3048] as const);
    expect(feetPerSecond.map(([where]) => where)).toEqual(['inside', 'annulus']);
    expect(off(feetPerSecond[0]![1], 8.37)).toBeLessThan(2e-3);
    expect(off(feetPerSecond[1]![1], 2.36)).toBeLessThan(3e-3);
  });
});
