/**
 * Pressure, flow and area of nozzles, from Bernoulli's equation with a discharge coefficient:
 *   Δp = ρ/2 (Q / (Cd A))²
 * Valid for turbulent jets of a liquid. Cd: 0.95 is the practical limit for bit nozzles (Guo and Liu, Applied Drilling
 * Circulation Systems, 2011, p. 53); it comes from the plan.
 */

const L_PER_MIN_PER_M3_PER_S = 60_000;
const MM2_PER_M2 = 1e6;
/** A nozzle's size is the diameter in 32nds of an inch (common practice). */
const MM_PER_32ND = 25.4 / 32;

/**
 * Pressure drop over nozzles, kPa.
 * @param flowLPerMin at least 0
 * @param areaMm2 open area of all nozzles together, above 0
 * @param coefficient discharge coefficient, above 0
 */
export function nozzleDropKpa(
  flowLPerMin: number,
  areaMm2: number,
  densityKgPerM3: number,
  coefficient: number,
): number {
  const jet = flowLPerMin / L_PER_MIN_PER_M3_PER_S / (coefficient * (areaMm2 / MM2_PER_M2));
  return (densityKgPerM3 / 2) * jet * jet * 1e-3;
}

/** The flow that makes a pressure drop of at least 0 through an area, L/min; the inverse of `nozzleDropKpa`. */
export function nozzleFlowLPerMin(
  dropKpa: number,
  areaMm2: number,
  densityKgPerM3: number,
  coefficient: number,
): number {
  const jet = Math.sqrt((2 * dropKpa * 1000) / densityKgPerM3);
  return jet * coefficient * (areaMm2 / MM2_PER_M2) * L_PER_MIN_PER_M3_PER_S;
}

/** The area that makes a pressure drop above 0 at a flow, mm²; the inverse of `nozzleDropKpa`. */
export function nozzleAreaMm2(
  flowLPerMin: number,
  dropKpa: number,
  densityKgPerM3: number,
  coefficient: number,
): number {
  const jet = Math.sqrt((2 * dropKpa * 1000) / densityKgPerM3);
  return (flowLPerMin / L_PER_MIN_PER_M3_PER_S / (coefficient * jet)) * MM2_PER_M2;
}

/** Area of several nozzles together, mm², from their sizes in 32nds of an inch. */
export function nozzlesAreaMm2(sizes32nds: readonly number[]): number {
  return sizes32nds.reduce((sum, size) => sum + (Math.PI / 4) * (size * MM_PER_32ND) ** 2, 0);
}
