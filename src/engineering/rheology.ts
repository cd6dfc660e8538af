/**
 * The flow curve of a fluid from the dial readings of a rotational viscometer.
 *
 * One form serves the three models: τ = τy + K γⁿ. Bingham has n = 1, the power law has τy = 0, Herschel–Bulkley has all
 * three. Stress in Pa, shear rate in 1/s, K in Pa·sⁿ (for n = 1 the viscosity, Pa·s).
 */
import { linearRegression } from 'simple-statistics';

export const RHEOLOGY_MODELS = ['power law', 'bingham', 'herschel-bulkley'] as const;
export type RheologyModel = (typeof RHEOLOGY_MODELS)[number];

export interface FlowCurve {
  readonly model: RheologyModel;
  /** At least 0. */
  readonly yieldPa: number;
  /** Above 0. */
  readonly consistencyPaSn: number;
  /** 0.1 to 1. */
  readonly n: number;
}

/** Speeds of a rotational viscometer, rpm. */
export const DIAL_SPEEDS = [600, 300, 200, 100, 6, 3] as const;
export type DialSpeed = (typeof DIAL_SPEEDS)[number];
export type Dials = Readonly<Partial<Record<DialSpeed, number>>>;

/** Standard rotor, bob and spring (R1, B1, F1): 1 degree is 5.11 dyn/cm², 600 rpm is 1022 1/s (API RP 13D). */
const PA_PER_DEGREE = 0.511;
const RATE_PER_RPM = 1022 / 600;

export const shearRateAt = (rpm: number): number => rpm * RATE_PER_RPM;
export const stressOfDialPa = (degrees: number): number => degrees * PA_PER_DEGREE;

/** τ = τy + K γⁿ, Pa. */
export function shearStressPa(curve: FlowCurve, shearRate: number): number {
  return curve.yieldPa + curve.consistencyPaSn * shearRate ** curve.n;
}

/** The figures that crews know a fluid by, each from the two dials of its formula; a figure whose dials are missing is left out. */
export interface FieldFigures {
  readonly plasticViscosityCp?: number;
  readonly yieldPointLbfPer100Ft2?: number;
  /** n and K of 600 and 300 rpm, K in equivalent cP. */
  readonly n?: number;
  readonly consistencyEqCp?: number;
  /** API RP 13D, two ranges: pipe (600 and 300) and annulus (100 and 3), K in dyn·sⁿ/cm². */
  readonly pipeN?: number;
  readonly pipeConsistency?: number;
  readonly annulusN?: number;
  readonly annulusConsistency?: number;
}

/**
 * PV = θ600 − θ300, YP = θ300 − PV; n = 3.322 log (θ600 / θ300), K = 510 θ300 / 511ⁿ; and the four of API RP 13D.
 * The rounded constants are those of the published formulas: these figures are shown, nothing is computed from them.
 */
export function fieldFigures(dials: Dials): FieldFigures {
  const { 600: r600, 300: r300, 100: r100, 3: r3 } = dials;
  const figures: { -readonly [K in keyof FieldFigures]: FieldFigures[K] } = {};
  if (r600 !== undefined && r300 !== undefined && r300 > 0) {
    figures.plasticViscosityCp = r600 - r300;
    figures.yieldPointLbfPer100Ft2 = 2 * r300 - r600;
    figures.n = 3.322 * Math.log10(r600 / r300);
    figures.consistencyEqCp = (510 * r300) / 511 ** figures.n;
    figures.pipeN = 3.32 * Math.log10(r600 / r300);
    figures.pipeConsistency = (5.11 * r600) / 1022 ** figures.pipeN;
  }
  if (r100 !== undefined && r3 !== undefined && r3 > 0) {
    figures.annulusN = 0.657 * Math.log10(r100 / r3);
    figures.annulusConsistency = (5.11 * r100) / 170.2 ** figures.annulusN;
  }
  return figures;
}

/** One model fitted to all the dials that were given. */
export interface Fit {
  readonly curve: FlowCurve;
  /** Root of the mean square residual, dial degrees. */
  readonly rmsDegrees: number;
  /** The same as a share of the mean reading. */
  readonly rmsShare: number;
  /** Residual allowing for the parameters, √(Σ r² / (dials − parameters)), degrees; NaN where there are too few dials. */
  readonly standardErrorDegrees: number;
}

export type RheologyFit =
  | {
      readonly kind: 'fitted';
      readonly fits: readonly Fit[];
      readonly chosen: Fit;
      readonly chosenBy: 'plan' | 'residual';
      readonly field: FieldFigures;
    }
  | { readonly kind: 'refused'; readonly problem: string };

/** A shear-thinning liquid. A steeper curve than Newton's, or one flatter than this, is a misread dial. */
const INDEX_MIN = 0.1;
const INDEX_MAX = 1;
const PARAMETERS: Record<RheologyModel, number> = { 'power law': 2, bingham: 2, 'herschel-bulkley': 3 };

/** A dial is read to the whole degree: an even error of ± 0.5, so 1/√12 of a degree. Less than that tells nothing. */
const READING_SD_DEGREES = 1 / Math.sqrt(12);
/** The scale of the instrument ends at 300 degrees (common practice). */
const DIAL_MAX_DEGREES = 300;

interface Point {
  readonly rate: number;
  readonly stress: number;
}

/**
 * Fits the three models by least squares on the shear stress and chooses one.
 *
 * The rule: the smallest residual allowing for the number of parameters, where a residual below what a dial can be read
 * to counts as that; among equals fewer parameters win, then the smaller residual. A model with as many parameters as
 * there are dials passes through all of them, which proves nothing: it is not compared. With two dials that leaves none,
 * and the power law is taken (as API RP 13D does between two dials).
 * @param set the model that the plan sets, if it does
 */
export function fitRheology(dials: Dials, set?: RheologyModel): RheologyFit {
  const problem = dialProblem(dials);
  if (problem !== undefined) return { kind: 'refused', problem };
  const points = DIAL_SPEEDS.flatMap((rpm): Point[] => {
    const degrees = dials[rpm];
    return degrees === undefined ? [] : [{ rate: shearRateAt(rpm), stress: stressOfDialPa(degrees) }];
  });
  const fits = RHEOLOGY_MODELS.filter((model) => points.length >= PARAMETERS[model]).flatMap((model): Fit[] => {
    const curve = fitModel(model, points);
    return curve ? [judged(curve, points)] : [];
  });
  const chosen = set === undefined ? chooseFit(fits) : fits.find((fit) => fit.curve.model === set);
  if (!chosen) return { kind: 'refused', problem: `the dials do not make a ${set ?? 'flow'} curve` };
  return {
    kind: 'fitted',
    fits,
    chosen,
    chosenBy: set === undefined ? 'residual' : 'plan',
    field: fieldFigures(dials),
  };
}

function dialProblem(dials: Dials): string | undefined {
  const given = DIAL_SPEEDS.flatMap((rpm) => (dials[rpm] === undefined ? [] : [{ rpm, degrees: dials[rpm] }]));
  if (given.length < 2) return 'at least two dials are needed';
  const off = given.find(({ degrees }) => !(degrees >= 0 && degrees <= DIAL_MAX_DEGREES));
  if (off) return `dial ${off.rpm} reads ${off.degrees}, not 0 to ${DIAL_MAX_DEGREES} degrees`;
  const fast = given[0]!;
  const slow = given.at(-1)!;
  if (!(fast.degrees > slow.degrees)) return `dial ${fast.rpm} is not above dial ${slow.rpm}`;
  return undefined;
}

function chooseFit(fits: readonly Fit[]): Fit | undefined {
  const compared = fits.filter((fit) => Number.isFinite(fit.standardErrorDegrees));
  if (compared.length === 0) return fits.find((fit) => fit.curve.model === 'power law');
  const told = (fit: Fit): number => Math.max(fit.standardErrorDegrees, READING_SD_DEGREES);
  return compared.reduce((best, fit) => {
    const order =
      told(fit) - told(best) ||
      PARAMETERS[fit.curve.model] - PARAMETERS[best.curve.model] ||
      fit.standardErrorDegrees - best.standardErrorDegrees;
    return order < 0 ? fit : best;
  });
}

function sumOfSquares(curve: FlowCurve, points: readonly Point[]): number {
  return points.reduce((sum, { rate, stress }) => sum + (stress - shearStressPa(curve, rate)) ** 2, 0);
}

function judged(curve: FlowCurve, points: readonly Point[]): Fit {
  const squares = sumOfSquares(curve, points) / PA_PER_DEGREE ** 2;
  const rmsDegrees = Math.sqrt(squares / points.length);
  const mean = points.reduce((sum, point) => sum + point.stress, 0) / points.length / PA_PER_DEGREE;
  const spare = points.length - PARAMETERS[curve.model];
  return {
    curve,
    rmsDegrees,
    rmsShare: rmsDegrees / mean,
    standardErrorDegrees: spare > 0 ? Math.sqrt(squares / spare) : Number.NaN,
  };
}

function fitModel(model: RheologyModel, points: readonly Point[]): FlowCurve | undefined {
  if (model === 'bingham') return fitAtIndex(model, points, 1);
  const scanned = scanIndex(model, points);
  return scanned && refine(scanned, points);
}

/** With n fixed the stress is a straight line over γⁿ: the exact least squares of the other parameters, none below 0. */
function fitAtIndex(model: RheologyModel, points: readonly Point[], n: number): FlowCurve | undefined {
  const line = points.map(({ rate, stress }): [number, number] => [rate ** n, stress]);
  if (model !== 'power law') {
    const { m, b } = linearRegression(line);
    if (b >= 0) return m > 0 ? { model, yieldPa: b, consistencyPaSn: m, n } : undefined;
  }
  const through = line.reduce((sum, [x, y]) => sum + x * y, 0) / line.reduce((sum, [x]) => sum + x * x, 0);
  return { model, yieldPa: 0, consistencyPaSn: through, n };
}

const INDEX_STEPS = 45;

/** The best curve over the whole range of n, so that the refinement starts in the right valley. */
function scanIndex(model: RheologyModel, points: readonly Point[]): FlowCurve | undefined {
  let best: FlowCurve | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= INDEX_STEPS; i++) {
    const curve = fitAtIndex(model, points, INDEX_MIN + ((INDEX_MAX - INDEX_MIN) * i) / INDEX_STEPS);
    if (!curve) continue;
    const squares = sumOfSquares(curve, points);
    if (squares < least) {
      best = curve;
      least = squares;
    }
  }
  return best;
}

const REFINEMENT = { mostSteps: 60, difference: 1e-5, least: 1e-14 } as const;

/**
 * Gauss–Newton on n, each step with its best τy and K and halved until it improves. One unknown needs no library of
 * matrices, which would be most of what a page loads to count a run again.
 */
function refine(start: FlowCurve, points: readonly Point[]): FlowCurve {
  const curveAt = (n: number): FlowCurve => fitAtIndex(start.model, points, n) ?? start;
  let curve = start;
  for (let i = 0; i < REFINEMENT.mostSteps; i++) {
    const better = improved(curve, points, curveAt);
    if (!better) break;
    curve = better;
  }
  return curve;
}

/** One step down; null where none is left. */
function improved(from: FlowCurve, points: readonly Point[], curveAt: (n: number) => FlowCurve): FlowCurve | null {
  const { difference, least } = REFINEMENT;
  const low = curveAt(Math.max(INDEX_MIN, from.n - difference));
  const high = curveAt(Math.min(INDEX_MAX, from.n + difference));
  if (!(high.n > low.n)) return null;
  let slopes = 0;
  let pull = 0;
  for (const { rate, stress } of points) {
    const slope = (shearStressPa(high, rate) - shearStressPa(low, rate)) / (high.n - low.n);
    slopes += slope * slope;
    pull += slope * (stress - shearStressPa(from, rate));
  }
  const squares = sumOfSquares(from, points);
  for (let step = pull / slopes; Math.abs(step) > least; step /= 2) {
    const curve = curveAt(Math.min(INDEX_MAX, Math.max(INDEX_MIN, from.n + step)));
    if (sumOfSquares(curve, points) < squares) return curve;
  }
  return null;
}
