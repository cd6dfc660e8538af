/**
 * Pressure against flow, P = a·Qⁿ, fitted as a straight line on the logarithms. Turbulent losses and nozzles lie near
 * n = 1.8 to 2; the fit holds inside the flows it has seen and says where it has not been.
 *
 * On logarithms the scatter is a share of the pressure, the same at every flow, which is how standpipe readings scatter.
 */
import { addPoint, type LineFit, type LineSums, lineError, lineOf, NO_POINTS } from './lineFit.ts';

export interface PowerLaw {
  readonly n: number;
  /** kPa at 1 L/min. */
  readonly factor: number;
  readonly exponent: number;
  readonly exponentError: number;
  /** 1σ of one reading about the curve, as a share of its pressure. */
  readonly scatter: number;
  /** The flows that were seen, L/min. */
  readonly fromFlow: number;
  readonly toFlow: number;
  readonly line: LineFit;
}

export interface PowerLawPrediction {
  readonly pressureKpa: number;
  /** 1σ of the curve itself, kPa: what more readings would narrow. */
  readonly curveSigmaKpa: number;
  /** 1σ of one reading about it: curve and scatter together, kPa. */
  readonly readingSigmaKpa: number;
  readonly where: 'inside' | 'below' | 'above';
}

export const NO_READINGS: LineSums = NO_POINTS;

/**
 * The sums with one reading more: flow L/min, pressure kPa, a relative weight.
 * A flow or a pressure that is not positive has no logarithm and is left out.
 */
export function addReading(sums: LineSums, flowLPerMin: number, pressureKpa: number, weight = 1): LineSums {
  if (!(flowLPerMin > 0) || !(pressureKpa > 0)) return sums;
  return addPoint(sums, Math.log(flowLPerMin), Math.log(pressureKpa), weight);
}

/** The curve through the readings so far; null while there are fewer than three or all at one flow. */
export function powerLawOf(sums: LineSums): PowerLaw | null {
  const line = lineOf(sums);
  if (line === null) return null;
  return {
    n: line.n,
    factor: Math.exp(line.intercept),
    exponent: line.slope,
    exponentError: line.slopeError,
    scatter: line.residualSd,
    fromFlow: Math.exp(line.minX),
    toFlow: Math.exp(line.maxX),
    line,
  };
}

export interface FlowReading {
  readonly flowLPerMin: number;
  readonly pressureKpa: number;
  readonly weight?: number;
}

/** The curve through a list of readings. */
export function fitPowerLaw(readings: readonly FlowReading[]): PowerLaw | null {
  let sums = NO_READINGS;
  for (const { flowLPerMin, pressureKpa, weight } of readings)
    sums = addReading(sums, flowLPerMin, pressureKpa, weight);
  return powerLawOf(sums);
}

/** Rounding of the logarithm must not put the outermost flow itself outside. */
const EDGE = 1e-9;

function whereIn(law: PowerLaw, flow: number): PowerLawPrediction['where'] {
  if (flow < law.fromFlow * (1 - EDGE)) return 'below';
  return flow > law.toFlow * (1 + EDGE) ? 'above' : 'inside';
}

/** Pressure to expect at a flow (L/min, not negative), with its 1σ, and whether that flow has been seen. No flow, no loss. */
export function predictPressure(law: PowerLaw, flowLPerMin: number): PowerLawPrediction {
  if (!(flowLPerMin > 0)) return { pressureKpa: 0, curveSigmaKpa: 0, readingSigmaKpa: 0, where: 'below' };
  const x = Math.log(flowLPerMin);
  const pressureKpa = Math.exp(law.line.intercept + law.exponent * x);
  const curveShare = lineError(law.line, x);
  return {
    pressureKpa,
    curveSigmaKpa: pressureKpa * curveShare,
    readingSigmaKpa: pressureKpa * Math.hypot(curveShare, law.scatter),
    where: whereIn(law, flowLPerMin),
  };
}
