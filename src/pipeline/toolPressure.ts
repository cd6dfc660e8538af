/**
 * Pressure at the tool, worked out twice: from the standpipe less the losses, and from flow through the open path.
 *
 *   flow, standpipe ─ steady stretches ─ points of ten seconds ─┬─ calibration of the losses, free of any joint
 *                                                               ├─ the open path
 *                                                               └─ drift of the two apart, pumps against their strokes
 */
import type { Sample } from '../channels.ts';
import { robustSigma } from '../engineering/robust.ts';
import type { ToolPressureNow } from '../live/messages.ts';
import type { FlowPath } from '../plan/engineering.ts';
import type { Job } from '../plan/job.ts';
import {
  asksRelations,
  createFlowPathSense,
  type FlowPathName,
  type FlowPathSense,
  followFlow,
  isExpectedSure,
  sensePath,
} from './flowPathSense.ts';
import { isFreeOfJoints } from './freeString.ts';
import {
  calibratedKpa,
  countedRates,
  createLossCalibration,
  ENOUGH_POINTS,
  isAmongRates,
  type LossCalibration,
  learnLoss,
  lossSigmaShare,
  rateAt,
} from './lossCalibration.ts';
import { endDepthOf, lossAt, nozzleKpa, refit, relationsAt } from './lossesNow.ts';
import { createLossModel, type LossModel, modelLossKpa } from './lossModel.ts';
import { periodMs } from './period.ts';
import {
  advanceDrift,
  ageDrift,
  createPressureDrift,
  type Expectation,
  forgetDrift,
  isDrifting,
  type PressureDrift,
} from './pressureDrift.ts';
import { advancePumpWatch, agePumpWatch, createPumpWatch, type PumpWatch, strokeFlow } from './pumpWatch.ts';
import type { Run } from './runState.ts';
import {
  advanceSteadyFlow,
  CIRCULATES_L_PER_MIN,
  createSteadyFlow,
  isSettled,
  type SteadyFlow,
  stopSteadyFlow,
} from './steadyFlow.ts';

/** Sums over some seconds of one settled stretch. */
interface Point {
  stretch: number;
  fromMs: number;
  samples: number;
  flow: number;
  pressure: number;
  strokes: number;
  /** No tool was near a joint that it could expand. */
  free: boolean;
}

export interface ToolPressure {
  /** Standpipe less the losses, kPa; NaN while it cannot be known. What a recipe with `pressure.at: "tool"` is judged on. */
  fromStandpipeKpa: number;
  /** The flow that the losses are for, L/min: as read, else by the strokes; NaN: neither. */
  flow: number;
  /** When flow was last read rather than worked out from strokes, ms. */
  flowReadMs: number;
  /** Since when the pumps are off, ms; NaN while they are on. */
  offSinceMs: number;
  lossKpa: number;
  /** Null: the plan has no string, or no fluid that makes a flow curve. */
  model: LossModel | null;
  /** The end depth that the fit is for, m. */
  fitDepthM: number;
  calibration: LossCalibration;
  path: FlowPathSense;
  steady: SteadyFlow;
  point: Point;
  drift: PressureDrift;
  pumps: PumpWatch;
}

const POINT_MS = 10_000;
const FEWEST_IN_POINT = 3;
/** While flow is read at least this often, strokes do not stand in for it where it counts whether flow is steady. */
const FLOW_MISSING_MS = 15_000;
export function createToolPressure(job: Job): ToolPressure {
  return {
    fromStandpipeKpa: Number.NaN,
    flow: Number.NaN,
    flowReadMs: Number.NaN,
    offSinceMs: Number.NaN,
    lossKpa: Number.NaN,
    model: createLossModel(job),
    fitDepthM: Number.NaN,
    calibration: createLossCalibration(),
    path: createFlowPathSense(),
    steady: createSteadyFlow(),
    point: { stretch: -1, fromMs: Number.NaN, samples: 0, flow: 0, pressure: 0, strokes: 0, free: true },
    drift: createPressureDrift(job.engineering.limits.driftShare),
    pumps: createPumpWatch(),
  };
}

/** After a change of plan: what was learnt holds while string, hole, fluid, nozzles and pumps are the same. */
export function renewToolPressure(run: Run, before: Job): void {
  const parts = ({ fluid, string, hole, flowPath, pumps, limits }: Job['engineering']): string =>
    JSON.stringify([fluid, string, hole, flowPath, pumps, limits.driftShare, limits.pumpMismatchShare]);
  if (parts(before.engineering) !== parts(run.job.engineering)) run.toolPressure = createToolPressure(run.job);
}

/** Works one sample in: after the slips, before the work is chosen. */
export function advanceToolPressure(run: Run, sample: Sample): void {
  const state = run.toolPressure;
  const { pumps, flowPath } = run.job.engineering;
  if (!state.model && pumps.length === 0) return;
  const atMs = sample.sourceMs;
  const byStrokes = strokeFlow(pumps, sample);
  readFlow(state, sample, byStrokes);
  const { flow } = state;
  if (state.model) {
    state.lossKpa = lossAt(run, flow);
    state.fromStandpipeKpa = Math.max(0, sample.standpipePressure - state.lossKpa);
  }
  if (flow >= CIRCULATES_L_PER_MIN) state.offSinceMs = Number.NaN;
  else if (flow < CIRCULATES_L_PER_MIN && Number.isNaN(state.offSinceMs)) state.offSinceMs = atMs;
  if (flowPath) followFlow(state.path, atMs, flow, state.offSinceMs, flowPath.shiftsAtLPerMin);
  ageDrift(state.drift, atMs);
  agePumpWatch(state.pumps, atMs);
  if (run.slips.in) {
    stopSteadyFlow(state.steady);
    state.path.fault = 'none';
    return;
  }
  const steadyFlow = state.flowReadMs === atMs || !(atMs - state.flowReadMs < FLOW_MISSING_MS) ? flow : Number.NaN;
  if (!advanceSteadyFlow(state.steady, atMs, steadyFlow, sample.standpipePressure, periodMs(run.period))) return;
  if (!isSettled(state.steady, atMs)) {
    state.path.fault = 'none';
    return;
  }
  if (flowPath && state.model && !isBypassed(run)) senseOpenPath(run, state.model, flowPath);
  collect(run, atMs, flow, sample.standpipePressure, byStrokes);
}

function readFlow(state: ToolPressure, sample: Sample, byStrokes: number): void {
  if (Number.isNaN(sample.flowIn)) state.flow = byStrokes;
  else {
    state.flow = Math.max(0, sample.flowIn);
    state.flowReadMs = sample.sourceMs;
  }
}

function senseOpenPath(run: Run, model: LossModel, flowPath: FlowPath): void {
  const { path, steady, drift } = run.toolPressure;
  const shiftsAt = flowPath.shiftsAtLPerMin;
  if (!asksRelations(path, steady, shiftsAt)) {
    path.fault = 'none';
    return;
  }
  const relations = relationsAt(run, model, flowPath, steady.flow);
  sensePath(path, steady, shiftsAt, relations, isDrifting(drift));
}

/** Gathers a settled stretch into points. */
function collect(run: Run, atMs: number, flow: number, pressure: number, byStrokes: number): void {
  const { point, steady } = run.toolPressure;
  if (point.stretch !== steady.stretch) point.samples = 0;
  if (point.samples === 0) {
    point.stretch = steady.stretch;
    point.fromMs = atMs;
    point.flow = point.pressure = point.strokes = 0;
    point.free = isFreeOfJoints(run, pressure, run.toolPressure.fromStandpipeKpa);
  }
  point.samples += 1;
  point.flow += flow;
  point.pressure += pressure;
  point.strokes += byStrokes;
  if (atMs - point.fromMs < POINT_MS || point.samples < FEWEST_IN_POINT) return;
  point.free &&= isFreeOfJoints(run, pressure, run.toolPressure.fromStandpipeKpa);
  const n = point.samples;
  judgePoint(run, point.fromMs, atMs, point.flow / n, point.pressure / n, point.strokes / n, point.free);
  point.samples = 0;
}

function judgePoint(
  run: Run,
  fromMs: number,
  toMs: number,
  flow: number,
  standpipeKpa: number,
  byStrokes: number,
  free: boolean,
): void {
  const { job, toolPressure: state } = run;
  const { flowPath, limits, pumps } = job.engineering;
  if (state.flowReadMs >= fromMs && pumps.length > 0) {
    advancePumpWatch(state.pumps, pumps, fromMs, toMs, flow, byStrokes, limits.pumpMismatchShare);
  }
  if (!state.model || !flowPath) return;
  if (isBypassed(run)) {
    state.path.path = null;
    forgetDrift(state.drift);
    return;
  }
  const sense = state.path;
  const path = sense.path ?? (isExpectedSure(sense, flow, flowPath.shiftsAtLPerMin) ? sense.expected : null);
  if (path === null) return;
  const modelKpa = modelLossKpa(state.model, job, flow, endDepthOf(run));
  const throughKpa = nozzleKpa(flowPath, path, flow, state.model.fluid.densityKgPerM3);
  const calibrated = calibratedAt(run, path, flow, throughKpa, modelKpa);
  const point = { path, fromMs, toMs, flow, standpipeKpa, nozzleKpa: throughKpa, modelKpa, calibrated };
  if (Number.isNaN(run.sensors.stuckMs.standpipePressure)) advanceDrift(state.drift, point, limits.driftShare);
  if (!free || !sense.isSure || sense.path === null || sense.fault !== 'none' || isDrifting(state.drift)) return;
  if (learnLoss(state.calibration, point, (limits.driftShare / 2) * throughKpa)) refit(run);
}

/** Whether a circulating sub has been opened: what flows then leaves the string above the nozzles. */
const isBypassed = ({ steps }: Run): boolean =>
  steps.steps.some((step) => step.kind === 'sub opened' && step.outcome === 'passed');

/** What the standpipe should read where this rate, or enough on either side of it, was circulated free through this path. */
function calibratedAt(
  run: Run,
  path: FlowPathName,
  flow: number,
  throughKpa: number,
  modelKpa: number,
): Expectation | null {
  const { calibration } = run.toolPressure;
  const rate = rateAt(calibration, path, flow);
  if (rate) {
    if (rate.scales.length <= ENOUGH_POINTS) return null;
    return { kpa: throughKpa + rate.scale * modelKpa, offKpa: 0, sigmaKpa: robustSigma(rate.scales) * modelKpa };
  }
  if (!calibration.fit || !isAmongRates(calibration, path, flow)) return null;
  const lossKpa = calibratedKpa(calibration.fit, flow, modelKpa);
  return { kpa: throughKpa + lossKpa, offKpa: 2 * lossKpa * lossSigmaShare(calibration.fit, flow), sigmaKpa: 0 };
}

const known = (value: number): number | null => (Number.isNaN(value) ? null : value);

/** As the page shows it; null where the plan cannot say. */
export function toolPressureNow(run: Run): ToolPressureNow | null {
  const { toolPressure: state, job } = run;
  const { flowPath, fluid, string } = job.engineering;
  if (!fluid || string.length === 0) return null;
  const { calibration, path } = state;
  const open = path.path ?? null;
  const { fit: fitted } = calibration;
  return {
    fromStandpipe: known(state.fromStandpipeKpa),
    fromFlow: flowPath && open !== null ? known(nozzleKpa(flowPath, open, state.flow, fluid.densityKgPerM3)) : null,
    sigma: known(state.lossKpa * lossSigmaShare(fitted, state.flow)),
    losses: !state.model ? 'none' : fitted ? 'calibrated' : 'model',
    path: flowPath ? open : null,
    calibration: fitted ? calibrationNow(calibration) : null,
  };
}

function calibrationNow({ points, rates, fit: fitted }: LossCalibration): ToolPressureNow['calibration'] {
  const counted = countedRates(rates);
  return {
    points,
    rates: counted.length,
    scatter: fitted!.scatter,
    flowMin: fitted!.fromFlow,
    flowMax: fitted!.toFlow,
    fromMs: Math.min(...counted.map((rate) => rate.fromMs)),
    toMs: Math.max(...counted.map((rate) => rate.toMs)),
  };
}
