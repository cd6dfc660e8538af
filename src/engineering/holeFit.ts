/**
 * The hole against what the tool can expand to, joint by joint.
 *
 * The log is taken as trapezia: straight between two depths, each pair of arms by itself. A joint is cut where the log has a
 * depth and where an arm crosses a bound, and each piece is integrated exactly (Simpson's rule on quadratics), so a result does
 * not depend on a grid. Between depths further apart than twice the usual step, or beside a null value, there is no log.
 *
 * F1 Over gauge where either arm is above the range, else tight where either is below it, else in gauge.
 * F2 A compliant tool expands the pipe to the hole's smaller diameter, within its range; a fixed one to its one diameter.
 *    What a compliant tool leaves under an elastomer is not known from geometry: no squeeze is given, contact is what it
 *    can reach, and the volume closed is the most it can be.
 * F3 Contact where no arm leaves more than the tolerance between the wall and the outside of the expanded joint: its
 *    elastomer where it has one, its pipe else.
 */
import { invariant } from '../fault.ts';
import type { CaliperLog } from './caliperLog.ts';
import { elastomerSqueeze, holeAreaM2, ovality, radialGapMm } from './expansionGeometry.ts';

/** Depths further apart than this many usual steps have no log between them. */
export const GAP_STEPS = 2;

export type Expansion =
  /** Outside diameters of the pipe that the tool can reach, mm. */
  | { readonly kind: 'compliant'; readonly minMm: number; readonly maxMm: number }
  /** The one diameter that the tool leaves, mm, and the holes it may be used in. */
  | { readonly kind: 'fixed'; readonly odMm: number; readonly minMm: number; readonly maxMm: number };

export interface FitJoint {
  readonly name: string;
  /** The length to be expanded, measured depth, m. */
  readonly fromM: number;
  readonly toM: number;
  /** Outside diameter as run, mm. */
  readonly runOdMm: number;
  readonly expansion: Expansion;
  /** Thickness of the elastomer on the expanded pipe, mm; left out where there is none. */
  readonly elastomerMm?: number;
}

export interface JointFit {
  readonly name: string;
  readonly lengthM: number;
  /** Shares of the joint's length; the four add up to 1. */
  readonly inGauge: number;
  readonly overGauge: number;
  readonly tight: number;
  readonly noLog: number;
  /** Shares and means below are of the length that has a log; NaN where none has. */
  readonly contact: number;
  /** Gap from the expanded pipe to the wall, on the wider arm, mm; negative where it presses in. */
  readonly meanGapMm: number;
  readonly widestGapMm: number;
  /** Of the elastomer's thickness, at the wider arm; null without an elastomer, a log or a tool of one diameter (F2). */
  readonly squeeze: { readonly mean: number; readonly least: number; readonly most: number } | null;
  /** Volume of the annulus that the expansion takes, over the length that has a log, m³. */
  readonly closedM3: number;
  readonly holeM3: number;
  readonly greatestOvality: number;
}

/** A stretch of log between two depths, straight for each arm. */
export interface LogStretch {
  readonly fromM: number;
  readonly toM: number;
  readonly aFrom: number;
  readonly aTo: number;
  readonly bFrom: number;
  readonly bTo: number;
}

/** The log as stretches in rising order, ready to be asked many times. */
export function logStretches(log: CaliperLog): LogStretch[] {
  const { depthM, diameterMm } = log;
  const cross = log.crossDiameterMm ?? diameterMm;
  const steps = depthM.slice(1).map((depth, i) => depth - depthM[i]!);
  const usual = Float64Array.from(steps).sort()[steps.length >> 1] ?? 0;
  const stretches: LogStretch[] = [];
  for (let i = 0; i < steps.length; i += 1) {
    const known = [diameterMm[i], diameterMm[i + 1], cross[i], cross[i + 1]].every(Number.isFinite);
    if (!known || steps[i]! > GAP_STEPS * usual * (1 + STEP_ROUNDING)) continue;
    stretches.push({
      fromM: depthM[i]!,
      toM: depthM[i + 1]!,
      aFrom: diameterMm[i]!,
      aTo: diameterMm[i + 1]!,
      bFrom: cross[i]!,
      bTo: cross[i + 1]!,
    });
  }
  return stretches;
}

/** Depths with a few decimals do not step evenly to the last digit. */
const STEP_ROUNDING = 1e-6;

const between = (from: number, to: number, share: number): number => from + share * (to - from);

/** Where, as a share of the stretch, an arm or the smaller of the two changes its rule. */
function cutsOf(s: LogStretch, bounds: readonly number[]): number[] {
  const cuts: number[] = [];
  for (const [from, to] of [
    [s.aFrom, s.aTo],
    [s.bFrom, s.bTo],
  ] as const) {
    for (const bound of bounds) if ((from - bound) * (to - bound) < 0) cuts.push((bound - from) / (to - from));
  }
  const apart = s.aFrom - s.bFrom;
  const apartEnd = s.aTo - s.bTo;
  if (apart * apartEnd < 0) cuts.push(apart / (apart - apartEnd));
  return cuts;
}

/** The part of a stretch between two depths, cut so that in each piece everything is straight. */
function piecesOf(stretch: LogStretch, fromM: number, toM: number, bounds: readonly number[]): LogStretch[] {
  const length = stretch.toM - stretch.fromM;
  const first = Math.max(0, (fromM - stretch.fromM) / length);
  const last = Math.min(1, (toM - stretch.fromM) / length);
  const inside = cutsOf(stretch, bounds).filter((cut) => cut > first && cut < last);
  const shares = [first, ...inside.sort((x, y) => x - y), last];
  return shares.slice(1).map((to, i) => ({
    fromM: between(stretch.fromM, stretch.toM, shares[i]!),
    toM: between(stretch.fromM, stretch.toM, to),
    aFrom: between(stretch.aFrom, stretch.aTo, shares[i]!),
    aTo: between(stretch.aFrom, stretch.aTo, to),
    bFrom: between(stretch.bFrom, stretch.bTo, shares[i]!),
    bTo: between(stretch.bFrom, stretch.bTo, to),
  }));
}

/** Index of the first stretch that ends below a depth. */
function firstReaching(stretches: readonly LogStretch[], depthM: number): number {
  let low = 0;
  let high = stretches.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (stretches[middle]!.toM <= depthM) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Every piece of log between two depths in which no arm crosses a bound. */
export function* piecesBetween(
  stretches: readonly LogStretch[],
  fromM: number,
  toM: number,
  bounds: readonly number[],
): Generator<LogStretch> {
  for (let i = firstReaching(stretches, fromM); i < stretches.length && stretches[i]!.fromM < toM; i += 1) {
    yield* piecesOf(stretches[i]!, fromM, toM, bounds);
  }
}

export type Gauge = 'inGauge' | 'overGauge' | 'tight';

/** F1, for a piece in which no arm crosses a bound: its middle tells. */
export function gaugeOf(piece: LogStretch, { minMm, maxMm }: Expansion): Gauge {
  const a = (piece.aFrom + piece.aTo) / 2;
  const b = (piece.bFrom + piece.bTo) / 2;
  if (Math.max(a, b) > maxMm) return 'overGauge';
  return Math.min(a, b) < minMm ? 'tight' : 'inGauge';
}

/** F2: outside diameter of the expanded pipe in a hole of two diameters. */
function expandedOd(expansion: Expansion, a: number, b: number): number {
  if (expansion.kind === 'fixed') return expansion.odMm;
  return Math.min(expansion.maxMm, Math.max(expansion.minMm, Math.min(a, b)));
}

/** A quantity over a piece from its values at the start, the middle and the end: exact to the third power. */
const simpson = (start: number, middle: number, end: number): number => (start + 4 * middle + end) / 6;

interface At {
  readonly od: number;
  readonly gap: number;
  readonly squeeze: number;
  readonly holeM2: number;
  readonly ovality: number;
}

function at(piece: LogStretch, share: number, joint: FitJoint): At {
  const a = between(piece.aFrom, piece.aTo, share);
  const b = between(piece.bFrom, piece.bTo, share);
  const od = expandedOd(joint.expansion, a, b);
  const gap = radialGapMm(Math.max(a, b), od);
  const squeeze = joint.elastomerMm === undefined ? 0 : elastomerSqueeze(joint.elastomerMm, gap);
  return { od, gap, squeeze, holeM2: holeAreaM2(a, b), ovality: ovality(a, b) };
}

/** Share of a straight run from `start` to `end` that lies at or below `bound`. */
function shareBelow(start: number, end: number, bound: number): number {
  if (start <= bound && end <= bound) return 1;
  if (start > bound && end > bound) return 0;
  return Math.abs(bound - Math.min(start, end)) / Math.abs(end - start);
}

/** Mean over a straight gap of the squeeze, which is straight itself but for its two limits. */
function meanSqueeze(thicknessMm: number, start: number, end: number): number {
  const breaks = [0, thicknessMm].map((limit) => (limit - start) / (end - start)).filter((s) => s > 0 && s < 1);
  const shares = [0, ...breaks.sort((x, y) => x - y), 1];
  let sum = 0;
  for (let i = 1; i < shares.length; i += 1) {
    const middle = between(start, end, (shares[i - 1]! + shares[i]!) / 2);
    sum += (shares[i]! - shares[i - 1]!) * elastomerSqueeze(thicknessMm, middle);
  }
  return sum;
}

/** What is added up along a joint. */
function emptySums() {
  return {
    lengths: { inGauge: 0, overGauge: 0, tight: 0 },
    loggedM: 0,
    contactM: 0,
    gap: 0,
    widestGapMm: Number.NaN,
    squeeze: 0,
    leastSqueeze: 1,
    mostSqueeze: 0,
    closedM3: 0,
    holeM3: 0,
    greatestOvality: 0,
  };
}
type Sums = ReturnType<typeof emptySums>;

function addPiece(sums: Sums, piece: LogStretch, joint: FitJoint, toleranceMm: number): void {
  const lengthM = piece.toM - piece.fromM;
  const [start, middle, end] = [at(piece, 0, joint), at(piece, 0.5, joint), at(piece, 1, joint)] as const;
  const pipe = (point: At) => holeAreaM2(point.od, point.od);
  const outside = joint.elastomerMm ?? 0;
  sums.lengths[gaugeOf(piece, joint.expansion)] += lengthM;
  sums.loggedM += lengthM;
  sums.contactM += lengthM * shareBelow(start.gap, end.gap, outside + toleranceMm);
  sums.gap += lengthM * middle.gap;
  sums.widestGapMm = Math.max(Number.isNaN(sums.widestGapMm) ? start.gap : sums.widestGapMm, start.gap, end.gap);
  if (joint.elastomerMm !== undefined) sums.squeeze += lengthM * meanSqueeze(joint.elastomerMm, start.gap, end.gap);
  sums.leastSqueeze = Math.min(sums.leastSqueeze, start.squeeze, end.squeeze);
  sums.mostSqueeze = Math.max(sums.mostSqueeze, start.squeeze, end.squeeze);
  const runM2 = holeAreaM2(joint.runOdMm, joint.runOdMm);
  sums.closedM3 += lengthM * (simpson(pipe(start), pipe(middle), pipe(end)) - runM2);
  sums.holeM3 += lengthM * simpson(start.holeM2, middle.holeM2, end.holeM2);
  sums.greatestOvality = Math.max(sums.greatestOvality, start.ovality, end.ovality);
}

/**
 * How one joint fits the hole. `toleranceMm` is what still counts as contact (≥ 0), as the plan sets it.
 * The joint must have a length, and a tool range that is one.
 */
export function fitJoint(joint: FitJoint, stretches: readonly LogStretch[], toleranceMm: number): JointFit {
  const { minMm, maxMm } = joint.expansion;
  invariant(joint.toM > joint.fromM && maxMm > minMm && minMm > 0, 'a joint with a length and a tool with a range');
  invariant(joint.elastomerMm === undefined || joint.elastomerMm > 0, 'an elastomer with a thickness');
  const lengthM = joint.toM - joint.fromM;
  const sums = emptySums();
  for (const piece of piecesBetween(stretches, joint.fromM, joint.toM, [minMm, maxMm])) {
    addPiece(sums, piece, joint, toleranceMm);
  }
  const { loggedM, lengths } = sums;
  const { leastSqueeze: least, mostSqueeze: most } = sums;
  const hasSqueeze = joint.elastomerMm !== undefined && joint.expansion.kind === 'fixed' && loggedM > 0;
  return {
    name: joint.name,
    lengthM,
    inGauge: lengths.inGauge / lengthM,
    overGauge: lengths.overGauge / lengthM,
    tight: lengths.tight / lengthM,
    noLog: Math.max(0, 1 - loggedM / lengthM),
    contact: sums.contactM / loggedM,
    meanGapMm: sums.gap / loggedM,
    widestGapMm: sums.widestGapMm,
    squeeze: hasSqueeze ? { mean: sums.squeeze / loggedM, least, most } : null,
    closedM3: sums.closedM3,
    holeM3: sums.holeM3,
    greatestOvality: sums.greatestOvality,
  };
}
