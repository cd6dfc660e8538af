/**
 * The losses as this run shows them: while the string circulates free of any joint, what the standpipe reads more than the
 * open nozzles make. Each rate is kept as the losses' share of the model, so that they grow and shrink with the string.
 *
 * C1 One or two rates: the model, scaled there, and back to itself away from them: laminar and turbulent losses do not err
 *    by the same share.
 * C2 Three rates with some spread: P = a·Qⁿ through them where that lies closer to them than a scale does.
 * C3 Outside the rates seen the model goes on, scaled to the fit at its edge; only a curve that is turbulent by its exponent
 *    goes on above them as it is.
 */
import { fitPowerLaw } from '../engineering/powerLaw.ts';
import { median, robustSigma } from '../engineering/robust.ts';
import type { FlowPathName } from './flowPathSense.ts';

/** A rate that was circulated, and what the losses were there. */
export interface Rate {
  readonly path: FlowPathName;
  flow: number;
  /** Losses as a share of the model's, one for each ten seconds, the last ones. */
  scales: number[];
  scale: number;
  fromMs: number;
  toMs: number;
}

export interface LossFit {
  readonly form: 'scale' | 'curve';
  /** Of the model below, and above, the rates seen; all along for `scale`. */
  readonly scaleBelow: number;
  readonly scaleAbove: number;
  /** a in kPa at 1 L/min and n, at the end depth that it was fitted for; NaN for `scale`. */
  readonly factor: number;
  readonly exponent: number;
  readonly rates: number;
  /** Of the rates about the fit, as a share of the loss. */
  readonly scatter: number;
  readonly fromFlow: number;
  readonly toFlow: number;
}

export interface LossCalibration {
  rates: Rate[];
  points: number;
  fit: LossFit | null;
}

/** Ten seconds of steady circulation. */
export interface LossPoint {
  readonly path: FlowPathName;
  readonly fromMs: number;
  readonly toMs: number;
  readonly flow: number;
  readonly standpipeKpa: number;
  /** What the open nozzles make of the flow, and the model of the losses. */
  readonly nozzleKpa: number;
  readonly modelKpa: number;
}

export const CALIBRATION_LIMITS = { rates: 16, pointsOfRate: 30 } as const;
/** Flows nearer than this are one rate. */
export const SAME_RATE = 0.05;
/** A rate counts from so many points on. */
export const ENOUGH_POINTS = 2;
/** Below this a flow reading says little of its nozzle drop, L/min. */
const LEAST_FLOW = 180;
/** Losses outside these shares of the model are another string, another fluid or other nozzles, not friction. */
const SCALE_RANGE = { from: 0.2, to: 2.5 } as const;
const CURVE = { rates: 3, spread: 1.25, exponentFrom: 1, exponentTo: 2.3 } as const;
/** Exponents of turbulent flow in pipe: 1.75 for a smooth one, 2 for a rough one (Blasius; Nikuradse), and some error. */
const TURBULENT = { from: 1.65, to: 2.1 } as const;
/** The e-folds of flow over which a scale from fewer rates fades. */
const FADES_OVER = 0.35;
/** Errors that more readings do not narrow: flow and pressure sensors as shares, and a zero, kPa (common practice). */
const SENSOR = { flowShare: 0.01, pressureShare: 0.005, kPa: 20 } as const;
/** No fit is surer than this, and each e-fold of flow outside it costs this share more. */
const LEAST_SCATTER = 0.02;
const BEYOND_SHARE = 0.3;
/** 1σ of losses that nothing was measured of. */
export const MODEL_SIGMA_SHARE = 0.2;

export function createLossCalibration(): LossCalibration {
  return { rates: [], points: 0, fit: null };
}

const isSameRate = (a: number, b: number): boolean => Math.abs(Math.log(a / b)) < SAME_RATE;

/**
 * Learns one point. Returns whether it was taken: one that leaves its own rate by more than `toleranceKpa` is not friction.
 */
export function learnLoss(state: LossCalibration, point: LossPoint, toleranceKpa: number): boolean {
  const scale = (point.standpipeKpa - point.nozzleKpa) / point.modelKpa;
  if (point.flow < LEAST_FLOW || !(scale >= SCALE_RANGE.from && scale <= SCALE_RANGE.to)) return false;
  const rate = rateAt(state, point.path, point.flow);
  if (!rate) {
    if (state.rates.length >= CALIBRATION_LIMITS.rates) return false;
    state.rates.push({
      path: point.path,
      flow: point.flow,
      scales: [scale],
      scale,
      fromMs: point.fromMs,
      toMs: point.toMs,
    });
    state.points += 1;
    return true;
  }
  if (Math.abs(scale - rate.scale) * point.modelKpa > toleranceKpa) {
    // Its first points may have been the odd ones.
    if (rate.scales.length > ENOUGH_POINTS) return false;
    state.points -= rate.scales.length;
    rate.scales = [];
    rate.flow = point.flow;
    rate.fromMs = point.fromMs;
  }
  rate.scales.push(scale);
  if (rate.scales.length > CALIBRATION_LIMITS.pointsOfRate) rate.scales.shift();
  else state.points += 1;
  rate.flow += (point.flow - rate.flow) / rate.scales.length;
  rate.scale = median([...rate.scales]);
  rate.toMs = point.toMs;
  return true;
}

export const countedRates = (rates: readonly Rate[]): Rate[] =>
  rates.filter((rate) => rate.scales.length >= ENOUGH_POINTS);

/** The rate of a path at this flow, counted or not. */
export function rateAt(state: LossCalibration, path: FlowPathName, flow: number): Rate | undefined {
  return state.rates.find((rate) => rate.path === path && isSameRate(rate.flow, flow));
}

/** Whether the flow lies among the rates that were circulated through this path, and enough of them were. */
export function isAmongRates(state: LossCalibration, path: FlowPathName, flow: number): boolean {
  const flows = countedRates(state.rates)
    .filter((rate) => rate.path === path)
    .map((rate) => rate.flow);
  return flows.length >= CURVE.rates && flow >= Math.min(...flows) && flow <= Math.max(...flows);
}

/** Fits the rates for the present end depth. `modelKpaAt`: the model's loss at a flow there; `nozzleKpaAt`: through a path. */
export function fitLosses(
  state: LossCalibration,
  modelKpaAt: (flow: number) => number,
  nozzleKpaAt: (path: FlowPathName, flow: number) => number,
): void {
  const points = countedRates(state.rates).map((rate) => {
    const modelKpa = modelKpaAt(rate.flow);
    const nozzleKpa = nozzleKpaAt(rate.path, rate.flow);
    const errorKpa =
      2 * SENSOR.flowShare * nozzleKpa + SENSOR.pressureShare * (nozzleKpa + rate.scale * modelKpa) + SENSOR.kPa;
    return { rate, flow: rate.flow, modelKpa, lossKpa: rate.scale * modelKpa, weight: (modelKpa / errorKpa) ** 2 };
  });
  if (points.length === 0 || points.some(({ modelKpa }) => !(modelKpa > 0))) {
    state.fit = null;
    return;
  }
  const flows = points.map(({ flow }) => flow);
  const fromFlow = Math.min(...flows);
  const toFlow = Math.max(...flows);
  const scaled = scaleFit(points, fromFlow, toFlow);
  const curved =
    points.length >= CURVE.rates && toFlow / fromFlow >= CURVE.spread
      ? curveFit(points, fromFlow, toFlow, modelKpaAt)
      : null;
  state.fit = curved && curved.scatter < scaled.scatter ? curved : scaled;
}

interface FitPoint {
  readonly rate: Rate;
  readonly flow: number;
  readonly lossKpa: number;
  readonly modelKpa: number;
  readonly weight: number;
}

function scaleFit(points: readonly FitPoint[], fromFlow: number, toFlow: number): LossFit {
  const weight = points.reduce((sum, point) => sum + point.weight, 0);
  const scale = points.reduce((sum, point) => sum + point.weight * point.rate.scale, 0) / weight;
  const squares = points.reduce((sum, point) => sum + point.weight * (point.rate.scale / scale - 1) ** 2, 0) / weight;
  const n = points.length;
  const scatter = n > 1 ? Math.sqrt((squares * n) / (n - 1)) : robustSigma(points[0]!.rate.scales) / scale;
  return {
    form: 'scale',
    scaleBelow: scale,
    scaleAbove: scale,
    factor: Number.NaN,
    exponent: Number.NaN,
    rates: n,
    scatter,
    fromFlow,
    toFlow,
  };
}

function curveFit(
  points: readonly FitPoint[],
  fromFlow: number,
  toFlow: number,
  modelKpaAt: (flow: number) => number,
): LossFit | null {
  const law = fitPowerLaw(
    points.map(({ flow, lossKpa, weight }) => ({ flowLPerMin: flow, pressureKpa: lossKpa, weight })),
  );
  if (!law || law.exponent < CURVE.exponentFrom || law.exponent > CURVE.exponentTo) return null;
  const scaleAt = (flow: number): number => (law.factor * flow ** law.exponent) / modelKpaAt(flow);
  return {
    form: 'curve',
    scaleBelow: scaleAt(fromFlow),
    scaleAbove: scaleAt(toFlow),
    factor: law.factor,
    exponent: law.exponent,
    rates: points.length,
    scatter: law.scatter,
    fromFlow,
    toFlow,
  };
}

/** E-folds of flow outside the rates seen; 0 among them. */
const beyond = (fit: LossFit, flow: number): number =>
  Math.max(0, Math.log(fit.fromFlow / flow), Math.log(flow / fit.toFlow));

/** The loss in force at a flow, kPa, from the model's there. */
export function calibratedKpa(fit: LossFit, flow: number, modelKpa: number): number {
  if (!(flow > 0)) return modelKpa;
  if (fit.form === 'scale') {
    const held = fit.rates >= CURVE.rates ? 1 : Math.exp(-((beyond(fit, flow) / FADES_OVER) ** 2));
    return (1 + (fit.scaleBelow - 1) * held) * modelKpa;
  }
  if (flow < fit.fromFlow) return fit.scaleBelow * modelKpa;
  const isTurbulent = fit.exponent >= TURBULENT.from && fit.exponent <= TURBULENT.to;
  if (flow > fit.toFlow && !isTurbulent) return fit.scaleAbove * modelKpa;
  return fit.factor * flow ** fit.exponent;
}

/** 1σ of that, as a share of the loss. */
export function lossSigmaShare(fit: LossFit | null, flow: number): number {
  if (!fit || !(flow > 0)) return MODEL_SIGMA_SHARE;
  const share = Math.hypot(Math.max(LEAST_SCATTER, fit.scatter), BEYOND_SHARE * beyond(fit, flow));
  return Math.min(MODEL_SIGMA_SHARE, share);
}
