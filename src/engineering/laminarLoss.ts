/**
 * Laminar flow of a fluid with a flow curve τ = τy + K γⁿ: the shear stress at the wall for a flow.
 *
 * The pipe is exact (integral of the flow curve over the section: for n = 1 that is Buckingham–Reiner, for τy = 0 the
 * power law, for both Hagen–Poiseuille). The annulus is taken as the slot between two plates at half the difference of
 * the diameters, exact in the same way; that is what the published annulus formulas do as well.
 */
import { invariant } from '../fault.ts';
import type { FlowCurve } from './rheology.ts';

export type Shape = 'pipe' | 'annulus';

/** How the section weighs the shear rate: τ² in a round pipe, τ in a slot. */
const ORDER: Record<Shape, 2 | 3> = { pipe: 3, annulus: 2 };

/** Of a Newtonian fluid, the shear rate at the wall, 1/s: 8 V / D in a pipe, 12 V / (D2 − D1) in an annulus. */
export function nominalShearRate(shape: Shape, velocityMPerS: number, hydraulicDiameterM: number): number {
  return ((shape === 'pipe' ? 8 : 12) * velocityMPerS) / hydraulicDiameterM;
}

/** Of Newton's method; two to five are needed. More than this means that a promise about the input was broken. */
const MAX_STEPS = 20;
const RELATIVE_TOLERANCE = 1e-13;

/**
 * Shear stress at the wall, Pa, for the nominal shear rate of a flow.
 *
 * With x = τw − τy and the shear rate at the wall γw = (x / K)^(1/n), the nominal rate is
 *   pipe     Γ = 4 γw (x³/(e+3) + 2 τy x²/(e+2) + τy² x/(e+1)) / τw³,   e = 1/n
 *   annulus  Γ = 3 γw (x²/(e+2) + τy x/(e+1)) / τw²
 * It is solved for x by Newton's method on ln Γ over ln x, whose slope (Rabinowitsch and Mooney) lies between 1/n and
 * 1/n + 1, so that it always closes in. Halving a bracket takes over a hundred evaluations of Γ where this takes two to
 * five, and it runs for every section and every sample of a trip.
 * @param nominalRate above 0, 1/s
 */
export function wallStressPa(curve: FlowCurve, shape: Shape, nominalRate: number): number {
  const { yieldPa, consistencyPaSn, n } = curve;
  const order = ORDER[shape];
  const e = 1 / n;
  // Exact without a yield stress; a start with one.
  let x = consistencyPaSn * ((nominalRate * (e + order)) / (order + 1)) ** n;
  if (yieldPa === 0) return x;
  for (let step = 0; step < MAX_STEPS; step++) {
    const wall = yieldPa + x;
    const wallRate = (x / consistencyPaSn) ** e;
    const rate = nominalRateFrom(order, e, yieldPa, x, wallRate);
    const slope = (x / wall) * (((order + 1) * wallRate) / rate - order);
    const change = Math.log(rate / nominalRate) / slope;
    x *= Math.exp(-change);
    if (Math.abs(change) < RELATIVE_TOLERANCE) return yieldPa + x;
    // Where the stress at the wall is all but the yield stress, the last digits of x no longer show in the sum.
    if (Math.abs(change) * x < RELATIVE_TOLERANCE * wall && step > 3) return yieldPa + x;
  }
  invariant(false, `wall stress found for ${JSON.stringify(curve)} at ${nominalRate} 1/s`);
}

function nominalRateFrom(order: 2 | 3, e: number, yieldPa: number, x: number, wallRate: number): number {
  const wall = yieldPa + x;
  if (order === 2) return (3 * wallRate * x * (x / (e + 2) + yieldPa / (e + 1))) / (wall * wall);
  const sum = (x * x) / (e + 3) + (2 * yieldPa * x) / (e + 2) + (yieldPa * yieldPa) / (e + 1);
  return (4 * wallRate * x * sum) / (wall * wall * wall);
}
