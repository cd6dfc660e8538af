/** What is lost on the way to the tool, and what the nozzles make of a flow, with what is known at this moment of the run. */
import { nozzleDropKpa } from '../engineering/nozzle.ts';
import type { FlowPath } from '../plan/engineering.ts';
import type { FlowPathName, Relations } from './flowPathSense.ts';
import { calibratedKpa, fitLosses, lossSigmaShare } from './lossCalibration.ts';
import { type LossModel, modelLossKpa } from './lossModel.ts';
import type { Run } from './runState.ts';

/** A reading may be off a relation by: the nozzle drop (2 % of flow), a zero, and the losses. */
const OFF = { nozzleShare: 0.04, kPa: 50, sigmas: 3 } as const;
/**
 * And where nothing was calibrated, by these shares of the model's loss: what a fluid loses in laminar flow is hardly known, in
 * turbulent flow, near the flow at which the valve shifts, better.
 */
const MODEL_OFF = { slow: 0.7, fast: 0.4, fastFrom: 0.6 } as const;

export const endDepthOf = (run: Run): number => run.endDepth.depth + run.correctionM;

/** The losses in force at a flow, kPa. */
export function lossAt(run: Run, flow: number): number {
  const { model, calibration } = run.toolPressure;
  const modelKpa = modelLossKpa(model!, run.job, flow, endDepthOf(run));
  if (!calibration.fit) return modelKpa;
  if (run.toolPressure.fitDepthM !== model!.depthM) refit(run);
  return calibration.fit ? calibratedKpa(calibration.fit, flow, modelKpa) : modelKpa;
}

/** The rates are shares of the model: with the string's length their losses change, and the curve through them. */
export function refit(run: Run): void {
  const { job, toolPressure: state } = run;
  const { model, calibration } = state;
  const { fluid, flowPath } = job.engineering;
  fitLosses(
    calibration,
    (flow) => modelLossKpa(model!, job, flow, model!.depthM),
    (path, flow) => nozzleKpa(flowPath!, path, flow, fluid!.densityKgPerM3),
  );
  state.fitDepthM = model!.depthM;
}

export function nozzleKpa(flowPath: FlowPath, path: FlowPathName, flow: number, densityKgPerM3: number): number {
  const areaMm2 = path === 'low' ? flowPath.lowAreaMm2 : flowPath.highAreaMm2;
  return nozzleDropKpa(flow, areaMm2, densityKgPerM3, flowPath.dischargeCoefficient);
}

/** What each path would make of a flow now, and how far a reading may be from that. */
export function relationsAt(run: Run, model: LossModel, flowPath: FlowPath, flow: number): Relations {
  const { fit: fitted } = run.toolPressure.calibration;
  const lossKpa = lossAt(run, flow);
  const fast = flow >= MODEL_OFF.fastFrom * flowPath.shiftsAtLPerMin;
  const modelShare = fast ? MODEL_OFF.fast : MODEL_OFF.slow;
  const offShare = fitted ? OFF.sigmas * lossSigmaShare(fitted, flow) : modelShare;
  const lossOffKpa = offShare * lossKpa;
  const lowKpa = nozzleKpa(flowPath, 'low', flow, model.fluid.densityKgPerM3);
  const highKpa = nozzleKpa(flowPath, 'high', flow, model.fluid.densityKgPerM3);
  return {
    lowKpa: lowKpa + lossKpa,
    highKpa: highKpa + lossKpa,
    lowOffKpa: lossOffKpa + OFF.nozzleShare * lowKpa + OFF.kPa,
    highOffKpa: lossOffKpa + OFF.nozzleShare * highKpa + OFF.kPa,
    losses: { leastKpa: lossKpa - lossOffKpa, mostKpa: lossKpa + lossOffKpa, fast },
  };
}
