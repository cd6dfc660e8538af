import { describe, expect, test } from 'vitest';
import { flowForKpa, flowForRecipe, type Hydraulics, standpipeKpa } from '../../ingest/simulator/hydraulics.ts';
import { nozzleDropKpa } from '../../src/engineering/nozzle.ts';
import { compileJob } from '../../src/plan/job.ts';
import { testPlan } from '../support/trips.ts';

const RIG: Hydraulics = {
  densityKgPerM3: 1180,
  dischargeCoefficient: 0.95,
  lowAreaMm2: 140,
  highAreaMm2: 117,
  shiftsAtLPerMin: 1100,
  stringLoss: { flow: 900, pressure: 1500 },
};

describe('pressure from flow', () => {
  test('the string costs its rated loss at its rated flow and 2^1.8 of it at twice the flow', () => {
    const bare = (flow: number) => standpipeKpa(RIG, flow, 0) - nozzleDropKpa(flow, 140, 1180, 0.95);
    expect(bare(900)).toBeCloseTo(1500, 6);
    expect(bare(1800)).toBeCloseTo(1500 * 3.4822, 0);
  });

  test.each([
    [9_250, 0],
    [19_000, 1],
    [500, 0],
  ] as const)('the flow for %d kPa on path %d makes that pressure', (kpa, valve) => {
    expect(standpipeKpa(RIG, flowForKpa(RIG, kpa, valve), valve)).toBeCloseTo(kpa, 3);
  });

  test('the flow for a recipe makes its pressure where it is judged', () => {
    const recipe = compileJob(testPlan()).recipes.screen!;
    const atTool = flowForRecipe(RIG, { ...recipe, pressureAt: 'tool' }, 9000);
    expect(nozzleDropKpa(atTool, 140, 1180, 0.95)).toBeCloseTo(9000, 3);
    expect(standpipeKpa(RIG, flowForRecipe(RIG, recipe, 9000), 0)).toBeCloseTo(9000, 3);
  });

  test('the high path and a plugged nozzle make more pressure at one flow', () => {
    expect(standpipeKpa(RIG, 1000, 1)).toBeGreaterThan(standpipeKpa(RIG, 1000, 0));
    expect(standpipeKpa(RIG, 1000, 0, 0.9)).toBeGreaterThan(standpipeKpa(RIG, 1000, 0));
  });
});
