/** The kept losses against the formulas they come from, asked anew. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { circuitOf, circulate } from '../../../src/engineering/circulation.ts';
import { createLossModel, modelLossKpa } from '../../../src/pipeline/lossModel.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { ENGINEERING_PART, EXAMPLE_PLAN } from '../plan/examplePlan.ts';

const jobOf = (change: object = {}) =>
  compileJob(planSchema.parse({ ...EXAMPLE_PLAN, ...ENGINEERING_PART, ...change }));

describe('the losses by the plan', () => {
  it('are those of the circuit at that flow and about that depth', () => {
    const job = jobOf();
    const model = createLossModel(job)!;
    const { string, hole } = job.engineering;
    fc.assert(
      fc.property(
        fc.double({ min: 30, max: 3000, noNaN: true }),
        fc.double({ min: 300, max: 2500, noNaN: true }),
        (flow, depth) => {
          const circuit = circuitOf({
            fluid: model.fluid,
            string,
            hole,
            endDepthM: depth,
            tvdAt: (md) => md,
            nozzles: { areaMm2: 1, dischargeCoefficient: 1 },
          });
          const { pipeLossKpa, annulusLossKpa } = circulate(circuit, flow);
          const kept = modelLossKpa(model, job, flow, depth);
          expect(Math.abs(kept / (pipeLossKpa + annulusLossKpa) - 1)).toBeLessThan(0.05);
        },
      ),
      { numRuns: 100 },
    );
  });

  it('grow with flow, start from none, and are not known without flow or depth', () => {
    const job = jobOf();
    const model = createLossModel(job)!;
    expect(modelLossKpa(model, job, 0, 2400)).toBe(0);
    for (let flow = 1; flow < 2000; flow += 7)
      expect(modelLossKpa(model, job, flow + 7, 2400)).toBeGreaterThan(modelLossKpa(model, job, flow, 2400));
    for (const [flow, depth] of [
      [Number.NaN, 2400],
      [-1, 2400],
      [500, Number.NaN],
      [500, 0],
      [1e6, 2400],
    ] as const)
      expect(modelLossKpa(model, job, flow, depth)).toBeNaN();
  });

  it('have no annulus in them where the plan has no hole, and are not known without string or dials', () => {
    const without = jobOf({ hole: undefined });
    const whole = jobOf();
    expect(modelLossKpa(createLossModel(without)!, without, 900, 2400)).toBeLessThan(
      modelLossKpa(createLossModel(whole)!, whole, 900, 2400) - 50,
    );
    for (const change of [{ string: undefined }, { fluid: undefined }, { fluid: { density: 1180 } }])
      expect(createLossModel(jobOf(change))).toBeNull();
  });
});
