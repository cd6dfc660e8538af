/**
 * Straight line by least squares, point by point: the same sums serve a stream at 1 Hz and a whole list.
 *
 * The sums are kept about the running mean (West 1979, Comm. ACM 22(9)), so that a time axis in milliseconds since 1970
 * loses no digits, and the residuals are summed as they come (recursive residuals: Brown, Durbin & Evans 1975,
 * J. R. Stat. Soc. B 37(2)), not as a difference of two large sums. Standard errors: the usual ones of weighted least squares with the variance estimated from the
 * residuals; they hold for independent residuals. Readings at 1 Hz are seldom independent: thin them first where the
 * width of an interval decides something.
 */
import { invariant } from '../fault.ts';
import { studentQuantile } from './quantiles.ts';

/** Two points make a line and say nothing about its error. */
export const FEWEST_POINTS = 3;

/** Plain data: the points so far. */
export interface LineSums {
  readonly n: number;
  readonly weight: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Weighted sums of squares and products about the means. */
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  /** Weighted sum of the squared residuals about the line so far. */
  readonly residuals: number;
  readonly minX: number;
  readonly maxX: number;
}

export interface LineFit {
  readonly n: number;
  readonly intercept: number;
  readonly slope: number;
  /** Standard errors, in the units of intercept and slope. */
  readonly interceptError: number;
  readonly slopeError: number;
  /** Standard deviation of the residuals for a point of mean weight, n − 2 degrees of freedom, unit of y. */
  readonly residualSd: number;
  /** Share of the variance of y that the line explains, 0 to 1; 1 where y does not vary. */
  readonly rSquared: number;
  readonly meanX: number;
  readonly minX: number;
  readonly maxX: number;
}

export interface Interval {
  readonly low: number;
  readonly high: number;
}

export const NO_POINTS: LineSums = {
  n: 0,
  weight: 0,
  meanX: 0,
  meanY: 0,
  xx: 0,
  xy: 0,
  yy: 0,
  residuals: 0,
  minX: Number.POSITIVE_INFINITY,
  maxX: Number.NEGATIVE_INFINITY,
};

/** What a new point adds to the squared residuals: its miss of the line so far, over what that line and it may miss by. */
function residualGain(sums: LineSums, dx: number, dy: number, weight: number): number {
  if (sums.n === 0) return 0;
  // While all points lie at one x, the first that does not is met exactly by the slope it brings.
  if (sums.xx === 0) return dx === 0 ? (dy * dy) / (1 / weight + 1 / sums.weight) : 0;
  const miss = dy - (sums.xy / sums.xx) * dx;
  return (miss * miss) / (1 / weight + 1 / sums.weight + (dx * dx) / sums.xx);
}

/**
 * The sums with one point more. A weight is relative: only its ratio to the others counts.
 * A point that is not finite, or whose weight is not positive, leaves the sums as they are.
 */
export function addPoint(sums: LineSums, x: number, y: number, weight = 1): LineSums {
  if (!Number.isFinite(x) || !Number.isFinite(y) || !(weight > 0) || !Number.isFinite(weight)) return sums;
  const total = sums.weight + weight;
  const dx = x - sums.meanX;
  const dy = y - sums.meanY;
  const share = weight / total;
  const held = sums.weight * share;
  return {
    n: sums.n + 1,
    weight: total,
    meanX: sums.meanX + share * dx,
    meanY: sums.meanY + share * dy,
    xx: sums.xx + held * dx * dx,
    xy: sums.xy + held * dx * dy,
    yy: sums.yy + held * dy * dy,
    residuals: sums.residuals + residualGain(sums, dx, dy, weight),
    minX: Math.min(sums.minX, x),
    maxX: Math.max(sums.maxX, x),
  };
}

/** The line through the points so far; null while there are fewer than three or all lie at one x. */
export function lineOf(sums: LineSums): LineFit | null {
  if (sums.n < FEWEST_POINTS || !(sums.maxX > sums.minX) || !(sums.xx > 0)) return null;
  const slope = sums.xy / sums.xx;
  const meanWeight = sums.weight / sums.n;
  const residualSd = Math.sqrt(sums.residuals / meanWeight / (sums.n - 2));
  const spread = sums.xx / meanWeight;
  return {
    n: sums.n,
    intercept: sums.meanY - slope * sums.meanX,
    slope,
    interceptError: residualSd * Math.sqrt(1 / sums.n + sums.meanX ** 2 / spread),
    slopeError: residualSd / Math.sqrt(spread),
    residualSd,
    rSquared: sums.yy > 0 ? 1 - sums.residuals / sums.yy : 1,
    meanX: sums.meanX,
    minX: sums.minX,
    maxX: sums.maxX,
  };
}

/** The line through a list of points; `ys` and `weights` are as long as `xs`. */
export function fitLine(xs: ArrayLike<number>, ys: ArrayLike<number>, weights?: ArrayLike<number>): LineFit | null {
  invariant(xs.length === ys.length && (weights?.length ?? xs.length) === xs.length, 'one y and one weight for each x');
  let sums = NO_POINTS;
  for (let i = 0; i < xs.length; i += 1) sums = addPoint(sums, xs[i]!, ys[i]!, weights?.[i]);
  return lineOf(sums);
}

/** Student's t that leaves (1 − confidence) / 2 on each side; `confidence` between 0 and 1. */
export function studentT(confidence: number, degreesOfFreedom: number): number {
  invariant(
    confidence > 0 && confidence < 1 && degreesOfFreedom >= 1,
    'a confidence inside 0 to 1, and a degree of freedom',
  );
  return studentQuantile((1 + confidence) / 2, degreesOfFreedom);
}

/** The interval that holds the slope with the given confidence (0 to 1), Student's t with n − 2 degrees of freedom. */
export function slopeInterval(fit: LineFit, confidence: number): Interval {
  const half = studentT(confidence, fit.n - 2) * fit.slopeError;
  return { low: fit.slope - half, high: fit.slope + half };
}

/** Standard error of the line itself at x, in the unit of y. */
export function lineError(fit: LineFit, x: number): number {
  return Math.hypot(fit.residualSd / Math.sqrt(fit.n), (x - fit.meanX) * fit.slopeError);
}
