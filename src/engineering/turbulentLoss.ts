/**
 * The friction factor of laminar, transitional and turbulent flow, one system from end to end.
 *
 * Reynolds number: the generalised one of Metzner and Reed, Re = 8 ρ V² / τw, with τw the laminar stress at the wall;
 * the same for pipe and annulus (API RP 13D, editions since 2006, from memory: ρ V² / (19.36 τw) in field units).
 * Laminar then is f = 16 / Re by definition, for every fluid and both shapes. In an annulus this Re is two thirds of
 * the 928 (D2 − D1) V ρ / μe of the 2003 sheet, whose laminar line is 24 / Re. That older pairing is not used: with
 * n below about 0.5 its turbulence starts under the laminar line, and in the transition more flow would cost less.
 *
 * Turbulent: f = a / Re^b with a = (log n + 3.93) / 50, b = (1.75 − log n) / 7 (API RP 13D, equation sheet); smooth wall.
 * Between 3470 − 1370 n and 4270 − 1370 n: straight in Re from one to the other (a public drilling fluids manual, 2006).
 *
 * A Bingham fluid goes the same way: its own laminar stress (exact), its own n; no apparent viscosity, no Hedström number.
 */
import { type FlowCurve, shearRateAt, shearStressPa } from './rheology.ts';

export type Regime = 'laminar' | 'transitional' | 'turbulent';

export interface Friction {
  /** Fanning's, so that the pressure gradient is 2 f ρ V² / D. */
  readonly factor: number;
  readonly regime: Regime;
}

/** Dodge and Metzner (1959) measured n from 0.36 to 1 (from memory); the correlation is used no further than that. */
const INDEX_MIN = 0.36;
const INDEX_MAX = 1;

/** Width of the transition in Re: from 3470 − 1370 n to 4270 − 1370 n. */
const TRANSITION = 800;

/**
 * The index n of turbulent flow: np = 3.32 log (R600 / R300) of API RP 13D, the slope of the flow curve between the
 * two fastest speeds of the viscometer, here on the fitted curve. It is n itself for a power law.
 */
export function turbulentIndex(curve: FlowCurve): number {
  const slope = Math.log2(shearStressPa(curve, shearRateAt(600)) / shearStressPa(curve, shearRateAt(300)));
  return Math.min(INDEX_MAX, Math.max(INDEX_MIN, slope));
}

/** Re = 8 ρ V² / τw. */
export function reynolds(densityKgPerM3: number, velocityMPerS: number, laminarWallStressPa: number): number {
  return (8 * densityKgPerM3 * velocityMPerS * velocityMPerS) / laminarWallStressPa;
}

/**
 * @param re above 0, of `reynolds`
 * @param n of `turbulentIndex`, 0.36 to 1
 */
export function friction(re: number, n: number): Friction {
  const laminarEnd = 3470 - 1370 * n;
  const turbulentStart = laminarEnd + TRANSITION;
  if (re <= laminarEnd) return { factor: 16 / re, regime: 'laminar' };
  const logN = Math.log10(n);
  const a = (logN + 3.93) / 50;
  const b = (1.75 - logN) / 7;
  if (re >= turbulentStart) return { factor: a / re ** b, regime: 'turbulent' };
  const from = 16 / laminarEnd;
  const to = a / turbulentStart ** b;
  return { factor: from + ((to - from) * (re - laminarEnd)) / TRANSITION, regime: 'transitional' };
}
