/**
 * How much longer the string is, and why. Every function gives a change of length in m, + longer; forces in kN, + tension;
 * pressures in kPa, + a rise; areas mm², diameters mm. Linear elasticity: valid well below yield.
 *
 * Areas are of the pipe body. API RP 7G, 16th ed., divides the adjusted weight by 3.4 instead, which counts the tool joints
 * as evenly spread steel and reads shorter; `areaOfMassMm2` gives that area where it is wanted.
 */
import { fromInside, toInside } from '../units.ts';
import { steelAreaMm2 } from './buoyancy.ts';
import type { HungSection } from './volumes.ts';

/** Young's modulus of steel: 30e6 psi = 206.8 GPa, here in kPa (API RP 7G, 16th ed., behind its constant 735,000). */
export const STEEL_YOUNG_KPA = toInside(30e6, 'psi');
/** Poisson's ratio of steel. */
export const STEEL_POISSON = 0.3;
/** Thermal expansion of steel, 1/°C: 6.9e-6 /°F. The shop rule of 0.83 in per 100 ft and 100 °F is 0.24 % more. */
export const STEEL_EXPANSION_PER_C = 6.9e-6 * (fromInside(1, '°F') - fromInside(0, '°F'));

/** A movement that the whole string gives to within this share is not more than it can give. */
const ROUNDING = 1e-9;

const areaOfMm2 = (odMm: number): number => steelAreaMm2(odMm, 0);
/** m of stretch a kN of pull, for a length of the given steel. */
const compliance = (lengthM: number, areaMm2: number): number => lengthM / (STEEL_YOUNG_KPA * areaMm2 * 1e-6);

/** Of an even pipe under an even pull, F·L/(E·A). Pull over the pull at which the length was measured. */
export function elasticStretchM(lengthM: number, forceKn: number, areaMm2: number): number {
  return forceKn * compliance(lengthM, areaMm2);
}

/** Of pipe that hangs under its own weight only, w·L²/(2·E·A); `weightKnPerM` in the fluid. */
export function ownWeightStretchM(lengthM: number, weightKnPerM: number, areaMm2: number): number {
  return (weightKnPerM * lengthM * compliance(lengthM, areaMm2)) / 2;
}

/**
 * Of a string whose tension varies along it, ∫T·dL/(E·A), the tension straight between the nodes.
 * @param depthM measured depths of the nodes, ascending; @param tensionKn tension at them;
 * @param areaMm2 steel of each element, one fewer than nodes, from the surface down.
 */
export function tensionStretchM(
  depthM: ArrayLike<number>,
  tensionKn: ArrayLike<number>,
  areaMm2: ArrayLike<number>,
): number {
  let sum = 0;
  for (let i = 0; i + 1 < depthM.length; i += 1) {
    sum += ((tensionKn[i]! + tensionKn[i + 1]!) / 2) * compliance(depthM[i + 1]! - depthM[i]!, areaMm2[i]!);
  }
  return sum;
}

/** Mean warming of a string made up at surface temperature, once it is as warm as the hole, °C: (Ts + Tb)/2 − Ts. */
export function meanWarmingC(surfaceC: number, bottomC: number): number {
  return (surfaceC + bottomC) / 2 - surfaceC;
}

/** Of pipe whose mean temperature has risen by `meanRiseC` since its length was measured. */
export function thermalStretchM(lengthM: number, meanRiseC: number): number {
  return STEEL_EXPANSION_PER_C * lengthM * meanRiseC;
}

/** Pull at the lower end of a string that is closed, or throttled, at its end: the pressure difference on its bore, kN. */
export function endCapForceKn(differenceKpa: number, idMm: number): number {
  return differenceKpa * areaOfMm2(idMm) * 1e-6;
}

/** Length by the end cap: the pressure difference across the end pulls the whole pipe. */
export function endCapStretchM(lengthM: number, differenceKpa: number, odMm: number, idMm: number): number {
  return elasticStretchM(lengthM, endCapForceKn(differenceKpa, idMm), steelAreaMm2(odMm, idMm));
}

/**
 * Length by ballooning, −2ν·L/E·(Δpi·Ai − Δpo·Ao)/(Ao − Ai): pressure inside widens and shortens the pipe, pressure outside
 * narrows and lengthens it. The changes are means along the pipe.
 */
export function ballooningStretchM(
  lengthM: number,
  insideKpa: number,
  outsideKpa: number,
  odMm: number,
  idMm: number,
): number {
  const [outer, inner] = [areaOfMm2(odMm), areaOfMm2(idMm)];
  const load = (insideKpa * inner - outsideKpa * outer) / (outer - inner);
  return ((-2 * STEEL_POISSON * lengthM) / STEEL_YOUNG_KPA) * load;
}

/**
 * Length by pressure inside a string that is closed or throttled at its end, over the pressure outside: end cap and
 * ballooning in one, Σ (1 − 2ν)·p·Ai·L/(E·As) (Lamé; a closed-end tube), the pressure straight between `surfaceKpa` and
 * `endKpa`, which is the difference across the tool while circulating. The drag of the flow on the wall is in it.
 */
export function insidePressureStretchM(hung: readonly HungSection[], surfaceKpa: number, endKpa: number): number {
  const end = hung.at(-1)?.toM ?? 0;
  return hung.reduce((sum, { fromM, toM, section: { odMm, idMm } }) => {
    const meanKpa = surfaceKpa + (endKpa - surfaceKpa) * ((fromM + toM) / 2 / end);
    const pull = (1 - 2 * STEEL_POISSON) * endCapForceKn(meanKpa, idMm);
    return sum + elasticStretchM(toM - fromM, pull, steelAreaMm2(odMm, idMm));
  }, 0);
}

/**
 * Force by pressure on a string whose lower end slides in a sealed bore of `boreMm`, kN, + compression of the string:
 * (Ap − Ai)·Δpi − (Ap − Ao)·Δpo, with the changes at the seal.
 */
export function pistonForceKn(
  insideKpa: number,
  outsideKpa: number,
  boreMm: number,
  odMm: number,
  idMm: number,
): number {
  const bore = areaOfMm2(boreMm);
  return ((bore - areaOfMm2(idMm)) * insideKpa - (bore - areaOfMm2(odMm)) * outsideKpa) * 1e-6;
}

/** Length by the piston force: compression shortens. */
export function pistonStretchM(
  lengthM: number,
  insideKpa: number,
  outsideKpa: number,
  boreMm: number,
  odMm: number,
  idMm: number,
): number {
  const force = pistonForceKn(insideKpa, outsideKpa, boreMm, odMm, idMm);
  return elasticStretchM(lengthM, -force, steelAreaMm2(odMm, idMm));
}

/** Depth to which an even pipe is free when a pull of `forceKn` moves its top by `movementM`: e·E·A/F. */
export function freePointM(movementM: number, forceKn: number, areaMm2: number): number {
  return movementM / compliance(1, areaMm2) / forceKn;
}

/**
 * Movement at surface to expect when the string is held fast at `depthM` and the pull at surface changes by `forceKn`
 * (+ more pull: it comes up; − slack-off: it goes down). What moves beyond it has moved at the depth. Friction left out:
 * in a hole that rubs less of the change arrives, so this is the most that is elastic.
 */
export function elasticMovementM(hung: readonly HungSection[], depthM: number, forceKn: number): number {
  let perKn = 0;
  for (const { fromM, toM, section } of hung) {
    const length = Math.max(0, Math.min(toM, depthM) - fromM);
    perKn += compliance(length, steelAreaMm2(section.odMm, section.idMm));
  }
  return perKn * forceKn;
}

/** The depth at which `elasticMovementM` is `movementM`; NaN where more moved than the whole string can give, or back. */
export function fixedDepthM(hung: readonly HungSection[], movementM: number, forceKn: number): number {
  let left = movementM / forceKn;
  if (!(left >= 0)) return Number.NaN;
  for (const { fromM, toM, section } of hung) {
    const perM = compliance(1, steelAreaMm2(section.odMm, section.idMm));
    const whole = perM * (toM - fromM);
    if (left <= whole * (1 + ROUNDING)) return Math.min(toM, fromM + left / perM);
    left -= whole;
  }
  return Number.NaN;
}
