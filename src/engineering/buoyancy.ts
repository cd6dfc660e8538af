/**
 * Weight of steel in a fluid, by the buoyancy factor: the same fluid inside and outside the string.
 * Lapeyrouse, "Formulas and Calculations for Drilling, Production and Workover".
 */
import { toInside } from '../units.ts';

/** Standard gravity, m/s², exact by definition (CGPM 1901). */
export const GRAVITY_M_S2 = 9.80665;

/**
 * Density of steel, kg/m³: 65.5 ppg = 7,848.6. Two values are in print, 65.5 (Lapeyrouse) and 65.4 (well-control formula
 * sheets); a specific gravity of 7.85 is 65.51 ppg and 489.5 lb/ft³ is 65.44. At 10 ppg they differ by 0.03 % of the
 * weight, far below a weight indicator. Every function here takes the density, so that a plan may name its own.
 */
export const STEEL_DENSITY_KG_M3 = toInside(65.5, 'ppg');

/** Share of the weight in air that is left in a fluid, 1 − ρ/ρs; under 0 in a fluid denser than the steel, where it floats. */
export function buoyancyFactor(fluidDensityKgM3: number, steelDensityKgM3 = STEEL_DENSITY_KG_M3): number {
  return 1 - fluidDensityKgM3 / steelDensityKgM3;
}

/** Weight in the fluid of pipe of `massKgM` (kg/m in air) over `lengthM`, kN. */
export function buoyedWeightKn(
  massKgM: number,
  lengthM: number,
  fluidDensityKgM3: number,
  steelDensityKgM3 = STEEL_DENSITY_KG_M3,
): number {
  return (massKgM * lengthM * GRAVITY_M_S2 * buoyancyFactor(fluidDensityKgM3, steelDensityKgM3)) / 1000;
}

/** Steel in the cross-section of a plain pipe, mm². */
export function steelAreaMm2(odMm: number, idMm: number): number {
  return (Math.PI / 4) * (odMm * odMm - idMm * idMm);
}

/**
 * Mass of plain-end pipe, kg/m. A string's mass with its tool joints, as tallied, is never less: a section whose `mass` is
 * below this is mistyped.
 */
export function plainEndMassKgM(odMm: number, idMm: number, steelDensityKgM3 = STEEL_DENSITY_KG_M3): number {
  return steelAreaMm2(odMm, idMm) * 1e-6 * steelDensityKgM3;
}

/** Even cross-section of steel that has the given mass, mm²; with tool joints it is greater than that of the pipe body. */
export function areaOfMassMm2(massKgM: number, steelDensityKgM3 = STEEL_DENSITY_KG_M3): number {
  return (massKgM / steelDensityKgM3) * 1e6;
}
