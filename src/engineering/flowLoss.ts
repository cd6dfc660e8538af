/** Pressure lost to friction along a pipe or a concentric annulus, for a flow of a fluid with a fitted flow curve. */
import { nominalShearRate, wallStressPa } from './laminarLoss.ts';
import type { FlowCurve } from './rheology.ts';
import { friction, type Regime, reynolds, turbulentIndex } from './turbulentLoss.ts';

export interface Fluid {
  readonly densityKgPerM3: number;
  readonly curve: FlowCurve;
}

/** Where fluid flows: inside a pipe, or between a pipe and the hole or liner around it (wider than the pipe). */
export type Passage =
  | { readonly kind: 'pipe'; readonly idMm: number }
  | { readonly kind: 'annulus'; readonly holeIdMm: number; readonly odMm: number };

export interface FlowLoss {
  readonly gradientKpaPerM: number;
  readonly velocityMPerS: number;
  /** Generalised, see `reynolds`; 0 without flow. */
  readonly reynolds: number;
  readonly regime: Regime;
}

export const L_PER_MIN_IN_M3_PER_S = 1 / 60_000;

const NO_FLOW: FlowLoss = { gradientKpaPerM: 0, velocityMPerS: 0, reynolds: 0, regime: 'laminar' };

/** Hydraulic diameter, m: the bore, or the difference of the diameters. */
export function hydraulicDiameterM(passage: Passage): number {
  return (passage.kind === 'pipe' ? passage.idMm : passage.holeIdMm - passage.odMm) / 1000;
}

/** Mean velocity, m/s: flow over section. */
export function velocityMPerS(passage: Passage, flowLPerMin: number): number {
  const squaresMm2 = passage.kind === 'pipe' ? passage.idMm ** 2 : passage.holeIdMm ** 2 - passage.odMm ** 2;
  return (flowLPerMin * L_PER_MIN_IN_M3_PER_S) / ((Math.PI / 4) * squaresMm2 * 1e-6);
}

/** Pressure gradient, kPa/m, of a Fanning friction factor: 2 f ρ V² / D. */
export function fanningKpaPerM(factor: number, densityKgPerM3: number, velocity: number, diameterM: number): number {
  return (2 * factor * densityKgPerM3 * velocity * velocity) / diameterM / 1000;
}

/**
 * Loss of a flow along a passage. Continuous and increasing in the flow above 0; a fluid with a yield stress starts
 * there from the pressure that makes it yield, and without flow nothing is lost.
 * @param flowLPerMin at least 0; without a sign
 */
export function flowLoss(fluid: Fluid, passage: Passage, flowLPerMin: number): FlowLoss {
  if (!(flowLPerMin > 0)) return NO_FLOW;
  const velocity = velocityMPerS(passage, flowLPerMin);
  const diameter = hydraulicDiameterM(passage);
  const stress = wallStressPa(fluid.curve, passage.kind, nominalShearRate(passage.kind, velocity, diameter));
  const re = reynolds(fluid.densityKgPerM3, velocity, stress);
  const { factor, regime } = friction(re, turbulentIndex(fluid.curve));
  return {
    gradientKpaPerM: fanningKpaPerM(factor, fluid.densityKgPerM3, velocity, diameter),
    velocityMPerS: velocity,
    reynolds: re,
    regime,
  };
}
