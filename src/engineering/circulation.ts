/**
 * The way of the fluid: surface lines, down the string, through the open nozzles, up the annulus. Its pressure losses
 * for a flow, and the flows that make a wanted pressure.
 *
 * Steady flow of one fluid, nothing turning, pipe in the middle of the hole, no cuttings, no tool joints.
 */
import { bisect } from 'simple-statistics';
import { invariant } from '../fault.ts';
import { fromInside, toInside } from '../units.ts';
import { type FlowLoss, type Fluid, flowLoss, type Passage } from './flowLoss.ts';
import { nozzleDropKpa, nozzleFlowLPerMin } from './nozzle.ts';

export interface StringSection {
  readonly lengthM: number;
  readonly odMm: number;
  readonly idMm: number;
}

export interface HoleSection {
  readonly fromM: number;
  readonly toM: number;
  /** Of what is around the string there: hole, casing or liner. */
  readonly idMm: number;
}

export interface Nozzles {
  readonly areaMm2: number;
  readonly dischargeCoefficient: number;
}

export interface CircuitInput {
  readonly fluid: Fluid;
  /** From the surface down, at least one. */
  readonly string: readonly StringSection[];
  /** Not overlapping: what is covered twice would count twice. */
  readonly hole: readonly HoleSection[];
  /** Measured depth of the string's end, above 0. */
  readonly endDepthM: number;
  /** True vertical depth at a measured depth, both m. */
  readonly tvdAt: (depthM: number) => number;
  /** The open path. */
  readonly nozzles: Nozzles;
  /** ks of the surface lines, 2 to 10; left out, their loss is not counted. */
  readonly surfaceCoefficient?: number;
}

/** A length of one passage. */
export interface Reach {
  readonly fromM: number;
  readonly toM: number;
  readonly passage: Passage;
}

export interface Circuit {
  readonly fluid: Fluid;
  readonly nozzles: Nozzles;
  readonly surfaceCoefficient: number;
  readonly endTvdM: number;
  /** Down the string, then the annulus from the surface down. */
  readonly reaches: readonly Reach[];
  /** Metres of string with no hole section around them, or none wider than the pipe: no loss is counted there. */
  readonly unknownAnnulusM: number;
}

export interface SectionLoss extends FlowLoss, Reach {
  readonly lossKpa: number;
}

export interface Circulation {
  readonly surfaceKpa: number;
  readonly pipeLossKpa: number;
  readonly toolDropKpa: number;
  readonly annulusLossKpa: number;
  readonly standpipeKpa: number;
  /** Equivalent circulating density at the string's end; NaN where that is at no vertical depth. */
  readonly ecdKgPerM3: number;
  readonly perSection: readonly SectionLoss[];
}

const STANDARD_GRAVITY = 9.80665;

/** Where the way of the fluid runs: done once for an end depth, then asked for any flow. */
export function circuitOf(input: CircuitInput): Circuit {
  invariant(input.endDepthM > 0 && input.string.length > 0, 'a circuit has a string with its end below the surface');
  const laid = layString(input.string, input.endDepthM);
  const inside = laid.map(({ fromM, toM, section }): Reach => {
    return { fromM, toM, passage: { kind: 'pipe', idMm: section.idMm } };
  });
  const outside = laid.flatMap(({ fromM, toM, section }) => annulusOf(fromM, toM, section.odMm, input.hole));
  return {
    fluid: input.fluid,
    nozzles: input.nozzles,
    surfaceCoefficient: input.surfaceCoefficient ?? 0,
    endTvdM: input.tvdAt(input.endDepthM),
    reaches: [...inside, ...outside],
    unknownAnnulusM: input.endDepthM - outside.reduce((sum, reach) => sum + reach.toM - reach.fromM, 0),
  };
}

interface LaidSection {
  readonly fromM: number;
  readonly toM: number;
  readonly section: StringSection;
}

/**
 * The sections at their depths with the last one ending at `endDepthM`. Pipe is added and taken off at the surface: the
 * topmost section is extended where the string is too short, and cut, then the next, where it is too long.
 */
export function layString(string: readonly StringSection[], endDepthM: number): LaidSection[] {
  const laid: LaidSection[] = [];
  let toM = endDepthM;
  for (let i = string.length - 1; i >= 0 && toM > 0; i--) {
    const section = string[i]!;
    const fromM = i === 0 ? 0 : Math.max(0, toM - section.lengthM);
    if (toM > fromM) laid.unshift({ fromM, toM, section });
    toM = fromM;
  }
  return laid;
}

function annulusOf(fromM: number, toM: number, odMm: number, hole: readonly HoleSection[]): Reach[] {
  return hole.flatMap((section): Reach[] => {
    const from = Math.max(fromM, section.fromM);
    const to = Math.min(toM, section.toM);
    if (!(to > from) || !(section.idMm > odMm)) return [];
    return [{ fromM: from, toM: to, passage: { kind: 'annulus', holeIdMm: section.idMm, odMm } }];
  });
}

/**
 * Losses of a flow, kPa. Continuous and increasing in a flow above 0.
 * @param flowLPerMin at least 0
 */
export function circulate(circuit: Circuit, flowLPerMin: number): Circulation {
  const { fluid, nozzles } = circuit;
  let pipeLossKpa = 0;
  let annulusLossKpa = 0;
  const perSection = circuit.reaches.map((reach): SectionLoss => {
    const loss = flowLoss(fluid, reach.passage, flowLPerMin);
    const lossKpa = loss.gradientKpaPerM * (reach.toM - reach.fromM);
    if (reach.passage.kind === 'pipe') pipeLossKpa += lossKpa;
    else annulusLossKpa += lossKpa;
    // Written out: this runs for every sample of a trip, and a spread costs many times more.
    return {
      fromM: reach.fromM,
      toM: reach.toM,
      passage: reach.passage,
      gradientKpaPerM: loss.gradientKpaPerM,
      velocityMPerS: loss.velocityMPerS,
      reynolds: loss.reynolds,
      regime: loss.regime,
      lossKpa,
    };
  });
  const surfaceKpa = surfaceLossKpa(circuit.surfaceCoefficient, fluid.densityKgPerM3, flowLPerMin);
  const toolDropKpa = nozzleDropKpa(flowLPerMin, nozzles.areaMm2, fluid.densityKgPerM3, nozzles.dischargeCoefficient);
  return {
    surfaceKpa,
    pipeLossKpa,
    toolDropKpa,
    annulusLossKpa,
    standpipeKpa: surfaceKpa + pipeLossKpa + toolDropKpa + annulusLossKpa,
    ecdKgPerM3: ecdKgPerM3(fluid.densityKgPerM3, annulusLossKpa, circuit.endTvdM),
    perSection,
  };
}

/** Density whose column weighs as much as the fluid and its loss above: ρ + Δp / (g h); NaN at no vertical depth. */
export function ecdKgPerM3(densityKgPerM3: number, annulusLossKpa: number, tvdM: number): number {
  if (!(tvdM > 0)) return Number.NaN;
  return densityKgPerM3 + (annulusLossKpa * 1000) / (STANDARD_GRAVITY * tvdM);
}

/** Standpipe, hose, swivel: 1e-5 ks ρ Q^1.86 in psi, ppg and gpm, ks 2 to 10 (a public page on surface pressure losses). */
export function surfaceLossKpa(coefficient: number, densityKgPerM3: number, flowLPerMin: number): number {
  const ppg = fromInside(densityKgPerM3, 'ppg');
  const gpm = fromInside(flowLPerMin, 'gpm');
  return toInside(1e-5 * coefficient * ppg * gpm ** 1.86, 'psi');
}

/** The flow that makes a pressure drop of at least 0 over the open nozzles, L/min, in closed form. */
export function flowForToolDropLPerMin(circuit: Circuit, toolDropKpa: number): number {
  const { areaMm2, dischargeCoefficient } = circuit.nozzles;
  return nozzleFlowLPerMin(toolDropKpa, areaMm2, circuit.fluid.densityKgPerM3, dischargeCoefficient);
}

/** Far below what a pump can be set to. */
const FLOW_TOLERANCE_L_PER_MIN = 1e-5;
const MAX_HALVINGS = 60;

/**
 * The flow that makes a standpipe pressure, L/min: found between none and the one that makes all of it at the nozzles.
 * 0 where the pressure is not above 0 or does not even make a fluid with a yield stress move.
 */
export function flowForStandpipeLPerMin(circuit: Circuit, standpipeKpa: number): number {
  if (!(standpipeKpa > 0)) return 0;
  const short = (flow: number): number => circulate(circuit, flow).standpipeKpa - standpipeKpa;
  if (short(FLOW_TOLERANCE_L_PER_MIN) >= 0) return 0;
  const most = flowForToolDropLPerMin(circuit, standpipeKpa);
  return bisect(short, 0, most, MAX_HALVINGS, FLOW_TOLERANCE_L_PER_MIN);
}
