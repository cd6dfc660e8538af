/** Weight of the string below the hook: buoyed, and only its vertical share hangs on the hook. */
import type { Engineering } from './engineering.ts';

const STEEL_KG_PER_M3 = 7850;
const GRAVITY = 9.80665;

/** True vertical depth at a measured depth, m, by the average-angle method; below the last station its angle goes on. */
export function verticalDepth(survey: Engineering['survey'], md: number): number {
  let tvd = 0;
  let lastMd = 0;
  let lastInclination = survey[0]?.inclinationDeg ?? 0;
  const add = (toMd: number, inclination: number) => {
    tvd += (toMd - lastMd) * Math.cos((((lastInclination + inclination) / 2) * Math.PI) / 180);
    lastMd = toMd;
    lastInclination = inclination;
  };
  for (const station of survey) {
    if (station.mdM <= lastMd) {
      lastInclination = station.inclinationDeg;
      continue;
    }
    if (station.mdM >= md) {
      const part = (md - lastMd) / (station.mdM - lastMd);
      add(md, lastInclination + (station.inclinationDeg - lastInclination) * part);
      return tvd;
    }
    add(station.mdM, station.inclinationDeg);
  }
  add(md, lastInclination);
  return tvd;
}

/**
 * Hanging weight of a string that reaches to `endDepth`, kN, without drag. The parts of the plan are laid from the end
 * up; the topmost part is as long as it must be, since stands of it are added at the surface.
 */
export function buoyedWeightKn(engineering: Engineering, endDepth: number): number {
  const { string, survey, densityKgPerM3 } = engineering;
  const buoyancy = 1 - densityKgPerM3 / STEEL_KG_PER_M3;
  let bottom = endDepth;
  let kilograms = 0;
  for (let i = string.length - 1; i >= 0 && bottom > 0; i--) {
    const part = string[i]!;
    const top = i === 0 ? 0 : Math.max(0, bottom - part.lengthM);
    kilograms += part.massKgPerM * (verticalDepth(survey, bottom) - verticalDepth(survey, top));
    bottom = top;
  }
  return (kilograms * GRAVITY * buoyancy) / 1000;
}
