/**
 * Where a string hangs in the hole, and what it and the pumps hold, push aside and deliver. Geometry throughout: the printed
 * constants (1,029.4; 0.000243; 2.3576e-9) are roundings of it, the pump ones 0.06 % high. Lapeyrouse, "Formulas and
 * Calculations for Drilling, Production and Workover". Depth and length m, diameter mm, volume m³.
 */
import { invariant } from '../fault.ts';
import { areaOfMassMm2, STEEL_DENSITY_KG_M3 } from './buoyancy.ts';

/** A stretch of like pipe, as tallied. */
export interface StringSection {
  readonly name?: string;
  readonly lengthM: number;
  readonly odMm: number;
  readonly idMm: number;
  /** In air, with tool joints. */
  readonly massKgM: number;
  /** Diameter that touches the wall of the hole, where tool joints stand proud of the pipe. */
  readonly contactOdMm?: number;
}

/** A section at its place: measured depths of its top and bottom. */
export interface HungSection {
  readonly fromM: number;
  readonly toM: number;
  readonly section: StringSection;
}

/** A stretch of hole or casing of one diameter. */
export interface HoleBore {
  readonly fromM: number;
  readonly toM: number;
  readonly idMm: number;
}

/**
 * Hangs a string (sections from the surface down) with its end at `endDepthM`. Sections are laid from the bottom up; the
 * topmost is drawn out to the surface when they fall short of it, and what would stand above the surface is cut off.
 */
export function hangString(sections: readonly StringSection[], endDepthM: number): HungSection[] {
  invariant(sections.length > 0, 'a string has a section');
  invariant(endDepthM >= 0, 'a string ends at or below the surface');
  const hung: HungSection[] = [];
  let bottom = endDepthM;
  for (let i = sections.length - 1; i >= 0 && bottom > 0; i -= 1) {
    const section = sections[i]!;
    invariant(section.lengthM >= 0, 'a section has a length');
    const top = i === 0 ? 0 : Math.max(0, bottom - section.lengthM);
    if (bottom > top) hung.push({ fromM: top, toM: bottom, section });
    bottom = top;
  }
  return hung.reverse();
}

/** Volume of a bore a metre, m³/m; also of the string's own bore. */
export function pipeCapacityM3PerM(idMm: number): number {
  return (Math.PI / 4) * (idMm / 1000) ** 2;
}

/** Volume between a bore and a pipe in it, a metre, m³/m. `odMm` at most `boreIdMm`. */
export function annulusCapacityM3PerM(boreIdMm: number, odMm: number): number {
  return (Math.PI / 4) * ((boreIdMm / 1000) ** 2 - (odMm / 1000) ** 2);
}

/** Fluid pushed aside by the steel of open-ended pipe, from its mass in air (tool joints counted), m³/m. */
export function steelDisplacementM3PerM(massKgM: number, steelDensityKgM3 = STEEL_DENSITY_KG_M3): number {
  return areaOfMassMm2(massKgM, steelDensityKgM3) * 1e-6;
}

const overlapM = (from: number, to: number, otherFrom: number, otherTo: number): number =>
  Math.max(0, Math.min(to, otherTo) - Math.max(from, otherFrom));

/** Volume inside the string between two measured depths, m³; nothing is counted below its end. */
export function stringVolumeM3(hung: readonly HungSection[], fromM: number, toM: number): number {
  return hung.reduce(
    (sum, { fromM: top, toM: bottom, section }) =>
      sum + overlapM(fromM, toM, top, bottom) * pipeCapacityM3PerM(section.idMm),
    0,
  );
}

/**
 * Volume between string and hole from one measured depth to another, m³. Where no hole section is given, and below the end
 * of the string, nothing is counted.
 */
export function annulusVolumeM3(
  hung: readonly HungSection[],
  hole: readonly HoleBore[],
  fromM: number,
  toM: number,
): number {
  let sum = 0;
  for (const pipe of hung) {
    for (const bore of hole) {
      const length = overlapM(Math.max(fromM, pipe.fromM), Math.min(toM, pipe.toM), bore.fromM, bore.toM);
      sum += length * annulusCapacityM3PerM(bore.idMm, pipe.section.odMm);
    }
  }
  return sum;
}

const sweptLitres = (diameterMm: number, strokeMm: number): number =>
  (Math.PI / 4) * diameterMm * diameterMm * strokeMm * 1e-6;

/** Output of a single-acting triplex pump, litres a stroke: three liners. `efficiency` in (0, 1]. */
export function triplexLitresPerStroke(linerMm: number, strokeMm: number, efficiency = 1): number {
  return 3 * sweptLitres(linerMm, strokeMm) * efficiency;
}

/** Output of a double-acting duplex pump, litres a stroke: two liners, each both ways, the rod taking room on one side. */
export function duplexLitresPerStroke(linerMm: number, rodMm: number, strokeMm: number, efficiency = 1): number {
  return 2 * (2 * sweptLitres(linerMm, strokeMm) - sweptLitres(rodMm, strokeMm)) * efficiency;
}

/** Flow of a pump, L/min, from its displacement and stroke rate. */
export function pumpFlowLMin(litresPerStroke: number, strokesPerMinute: number): number {
  return litresPerStroke * strokesPerMinute;
}

/** Strokes that deliver a volume. `litresPerStroke` > 0. */
export function strokesOf(volumeM3: number, litresPerStroke: number): number {
  return (volumeM3 * 1000) / litresPerStroke;
}

/** Minutes that deliver a volume. `flowLMin` > 0. */
export function minutesOf(volumeM3: number, flowLMin: number): number {
  return (volumeM3 * 1000) / flowLMin;
}
