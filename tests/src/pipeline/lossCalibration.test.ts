/** The fit of the losses: own cases with the truth by hand. */
import { describe, expect, it } from 'vitest';
import type { FlowPathName } from '../../../src/pipeline/flowPathSense.ts';
import {
  CALIBRATION_LIMITS,
  calibratedKpa,
  createLossCalibration,
  fitLosses,
  type LossCalibration,
  learnLoss,
  lossSigmaShare,
  MODEL_SIGMA_SHARE,
} from '../../../src/pipeline/lossCalibration.ts';

/** Laminar below 600 L/min and turbulent above, as a model may be. */
const model = (flow: number): number => (flow < 600 ? 400 + flow : 1000 * (flow / 600) ** 1.7);
const nozzle = (path: FlowPathName, flow: number): number => (path === 'low' ? 0.009 : 0.013) * flow * flow;

function learnt(truth: (flow: number) => number, flows: readonly number[], points = 4): LossCalibration {
  const state = createLossCalibration();
  for (const flow of flows) {
    const path: FlowPathName = flow > 1100 ? 'high' : 'low';
    for (let i = 0; i < points; i += 1) {
      const nozzleKpa = nozzle(path, flow);
      const taken = learnLoss(
        state,
        {
          path,
          fromMs: 1000 * i,
          toMs: 1000 * i + 999,
          flow,
          standpipeKpa: nozzleKpa + truth(flow),
          nozzleKpa,
          modelKpa: model(flow),
        },
        200,
      );
      expect(taken).toBe(true);
    }
  }
  fitLosses(state, model, nozzle);
  return state;
}
const at = (state: LossCalibration, flow: number): number => calibratedKpa(state.fit!, flow, model(flow));

describe('losses that the run has shown', () => {
  it('three rates of a power law: the law, also above them where it is turbulent, and the model scaled to it below', () => {
    const truth = (flow: number) => 0.0075 * flow ** 1.8;
    const state = learnt(truth, [500, 800, 1200]);
    expect(state.fit).toMatchObject({ form: 'curve', rates: 3 });
    expect(state.fit!.exponent).toBeCloseTo(1.8, 3);
    for (const flow of [500, 650, 1000, 1200, 1400]) expect(at(state, flow) / truth(flow)).toBeCloseTo(1, 2);
    expect(at(state, 300)).toBeCloseTo((model(300) * truth(500)) / model(500), 0);
  });

  it('three rates that are the model times something: a scale, everywhere', () => {
    const state = learnt((flow) => 1.15 * model(flow), [400, 700, 1200]);
    expect(state.fit!.form).toBe('scale');
    for (const flow of [250, 400, 900, 1500]) expect(at(state, flow) / model(flow)).toBeCloseTo(1.15, 3);
  });

  it('one rate: the scale at it, and the model far from it', () => {
    const state = learnt((flow) => 0.6 * model(flow), [400]);
    expect(at(state, 400) / model(400)).toBeCloseTo(0.6, 3);
    expect(at(state, 1200) / model(1200)).toBeCloseTo(1, 2);
    expect(at(state, 0)).toBe(model(0));
  });

  it('a rate that has one point only does not count', () => {
    expect(learnt(model, [500, 800, 1200], 1).fit).toBeNull();
  });

  it('what leaves its own rate is not taken, nor what no friction makes', () => {
    const state = learnt(model, [800]);
    const point = {
      path: 'low' as const,
      fromMs: 0,
      toMs: 1,
      flow: 800,
      nozzleKpa: nozzle('low', 800),
      modelKpa: model(800),
    };
    const { points } = state;
    for (const loss of [model(800) - 250, model(800) + 250, -100, 20 * model(800)])
      expect(learnLoss(state, { ...point, standpipeKpa: point.nozzleKpa + loss }, 200)).toBe(false);
    expect(learnLoss(state, { ...point, flow: 40, standpipeKpa: point.nozzleKpa + model(800) }, 200)).toBe(false);
    expect(state.points).toBe(points);
  });

  it('keeps no more rates and points than its limits', () => {
    const flows = Array.from({ length: 40 }, (_, i) => 200 * 1.06 ** i);
    const state = createLossCalibration();
    for (const flow of flows)
      for (let i = 0; i < 50; i += 1) {
        const nozzleKpa = nozzle('low', flow);
        const point = { path: 'low' as const, fromMs: i, toMs: i, flow, nozzleKpa, modelKpa: model(flow) };
        learnLoss(state, { ...point, standpipeKpa: nozzleKpa + model(flow) }, 200);
      }
    expect(state.rates).toHaveLength(CALIBRATION_LIMITS.rates);
    for (const rate of state.rates) expect(rate.scales).toHaveLength(CALIBRATION_LIMITS.pointsOfRate);
    expect(state.points).toBe(CALIBRATION_LIMITS.rates * CALIBRATION_LIMITS.pointsOfRate);
  });

  it('are surest among the rates, less sure outside them, and never less sure than the model', () => {
    const { fit } = learnt((flow) => 0.0075 * flow ** 1.8, [500, 800, 1200]);
    expect(lossSigmaShare(fit, 900)).toBeLessThan(0.03);
    expect(lossSigmaShare(fit, 1400)).toBeGreaterThan(lossSigmaShare(fit, 1250));
    expect(lossSigmaShare(fit, 100)).toBe(MODEL_SIGMA_SHARE);
    expect(lossSigmaShare(null, 900)).toBe(MODEL_SIGMA_SHARE);
  });
});
