/**
 * Drag and torque of a string in a curved hole by the soft-string model: Johancsik, Friesen & Dawson, "Torque and Drag in
 * Directional Wells – Prediction and Measurement", JPT June 1984, SPE-11380-PA (equations from memory). The string is a heavy
 * cable without stiffness that lies everywhere on the wall; it is walked from the bottom to the top.
 *
 * Over an element, with T its tension, W its weight in the fluid and t its direction, the force on the wall is the part
 * across the string of T·Δt + W; the paper writes the same with inclination and azimuth, which do not say what is meant where
 * the hole is vertical. Along the string ΔT = W·cos θ ± μ·Fn, + up, − down; rotating, friction goes round the string and not
 * along it: ΔT = W·cos θ, ΔM = μ·Fn·r. The 1984 stepping takes T at the lower end, which is first order and reads 1.2 % low
 * in a build at 10° an element; here T is that at the middle of the element, second order.
 *
 * Tension is effective (buoyancy factor; the same fluid inside and outside): 0 at a free end. Buckling adds no drag here.
 */
import { invariant } from '../fault.ts';
import { buoyancyFactor, GRAVITY_M_S2, STEEL_DENSITY_KG_M3, steelAreaMm2 } from './buoyancy.ts';
import { STEEL_YOUNG_KPA } from './stretch.ts';
import { PATH_FIELDS, type WellPath } from './survey.ts';
import { type HoleBore, type HungSection, hangString, type StringSection } from './volumes.ts';

/** Longest element, m, and greatest turn within one, degrees. */
export const MAX_ELEMENT_M = 10;
export const MAX_ELEMENT_TURN_DEG = 1;
/** Elements of a layout: more than the longest survey with the most turn needs in 20 km of hole. */
export const MAX_ELEMENTS = 20_000;

export interface HoleSection extends HoleBore {
  /** Friction coefficient, 0 or more. */
  readonly friction: number;
}

export interface StringInHole {
  readonly path: WellPath;
  /** From the surface down. */
  readonly string: readonly StringSection[];
  readonly hole: readonly HoleSection[];
  readonly fluidDensityKgM3: number;
  readonly steelDensityKgM3?: number;
  /** Measured depth of the end of the string, m, > 0. */
  readonly endDepthM: number;
}

/** The string at one depth, cut into elements; elements count from the surface down, node i is the top of element i. */
export interface StringLayout {
  readonly elements: number;
  readonly hung: readonly HungSection[];
  /** Measured depths of the `elements + 1` nodes, m. */
  readonly depthM: Float64Array;
  /** Of each element: weight in the fluid along the string, kN. */
  readonly axialKn: Float64Array;
  /** Weight in the fluid across the string (north, east, down), kN. */
  readonly acrossKn: Float64Array;
  /** Change of direction from top to bottom (north, east, down). */
  readonly bend: Float64Array;
  readonly friction: Float64Array;
  /** Half of the diameter that touches the wall, m. */
  readonly contactRadiusM: Float64Array;
  /** Steel of the pipe body, mm². */
  readonly areaMm2: Float64Array;
  /** Least compression that buckles the element into a wave, kN; Infinity without clearance to buckle in. */
  readonly bucklingKn: Float64Array;
  /** Length of string outside every hole section, m: there the friction of the nearest section is used. */
  readonly uncoveredM: number;
}

export type StringMode = 'up' | 'down' | 'rotating';

export interface BottomLoad {
  readonly mode: StringMode;
  /** kN at the end of the string, + tension, − set-down. */
  readonly endForceKn?: number;
  /** kN·m at the end of the string, ≥ 0. */
  readonly endTorqueKnm?: number;
}

export interface StringForces {
  /** Tension at surface, kN; the hookload less the weight of the block. */
  readonly surfaceForceKn: number;
  readonly surfaceTorqueKnm: number;
  /** Tension at the nodes of the layout, kN. */
  readonly tensionKn: Float64Array;
}

/** Depths at which something changes, with 0 and the end, ascending and apart. */
function breakDepths(hung: readonly HungSection[], { path, hole, endDepthM }: StringInHole): number[] {
  const inside = (md: number) => md > 0 && md < endDepthM;
  const depths = [
    ...path.stationMd,
    ...hole.flatMap(({ fromM, toM }) => [fromM, toM]),
    ...hung.map(({ fromM }) => fromM),
  ].filter(inside);
  depths.push(0, endDepthM);
  return [...Float64Array.from(depths).sort()].filter((md, i, all) => i === 0 || md > all[i - 1]!);
}

/** Nodes from 0 to the end: at every change, and so that elements keep to their length and turn. */
function nodeDepths(breaks: readonly number[], path: WellPath): Float64Array {
  const nodes = [0];
  for (let i = 1; i < breaks.length; i += 1) {
    const [top, bottom] = [breaks[i - 1]!, breaks[i]!];
    const length = bottom - top;
    const turn = path.curvature(top) * length;
    // A station's own turn comes back from its arc with the last digit in doubt: not a reason for one more element.
    const count = Math.max(1, Math.ceil(Math.max(length / MAX_ELEMENT_M, turn / MAX_ELEMENT_TURN_DEG) - 1e-9));
    invariant(nodes.length + count <= MAX_ELEMENTS, `a string has at most ${MAX_ELEMENTS} elements`);
    for (let k = 1; k < count; k += 1) nodes.push(top + (length * k) / count);
    nodes.push(bottom);
  }
  return Float64Array.from(nodes);
}

/** The section that holds the depth, else the nearest one. */
function nearestHole(hole: readonly HoleSection[], md: number): HoleSection {
  const distance = ({ fromM, toM }: HoleSection) => Math.max(fromM - md, md - toM, 0);
  return hole.reduce((best, one) => (distance(one) < distance(best) ? one : best));
}

/**
 * Load at which a rod that lies on the low side of a straight hole takes the form of a wave, kN: 2·√(E·I·w·sin θ / r),
 * r the radial clearance. Dawson & Paslay, "Drillpipe Buckling in Inclined Holes", JPT October 1984 (from memory). 0 in a
 * vertical hole, where the formula knows no support; Infinity without clearance.
 */
export function sinusoidalBucklingKn(
  odMm: number,
  idMm: number,
  weightKnPerM: number,
  inclinationDeg: number,
  clearanceMm: number,
): number {
  if (!(clearanceMm > 0)) return Number.POSITIVE_INFINITY;
  const inertiaM4 = (Math.PI / 64) * ((odMm / 1000) ** 4 - (idMm / 1000) ** 4);
  const across = Math.max(0, weightKnPerM * Math.sin((inclinationDeg * Math.PI) / 180));
  return 2 * Math.sqrt((STEEL_YOUNG_KPA * inertiaM4 * across) / (clearanceMm / 1000));
}

type LayoutArrays = Omit<StringLayout, 'uncoveredM'>;

function emptyLayout(hung: readonly HungSection[], depthM: Float64Array): LayoutArrays {
  const elements = depthM.length - 1;
  const one = () => new Float64Array(elements);
  const three = () => new Float64Array(3 * elements);
  return {
    elements,
    hung,
    depthM,
    axialKn: one(),
    acrossKn: three(),
    bend: three(),
    friction: one(),
    contactRadiusM: one(),
    areaMm2: one(),
    bucklingKn: one(),
  };
}

/** Weight along and across, and turn, of element i between the path's points `top` and `bottom`. */
function placeElement(
  into: LayoutArrays,
  i: number,
  weightKnPerM: number,
  top: Float64Array,
  bottom: Float64Array,
): void {
  const chord = Math.hypot(bottom[0]! - top[0]!, bottom[1]! - top[1]!, bottom[2]! - top[2]!);
  const turn = 2 * Math.asin(Math.min(1, chord / 2));
  // The normal force of a bend acts along its arc and not along its chord.
  const arc = turn > 1e-6 ? turn / chord : 1;
  const weight = weightKnPerM * (into.depthM[i + 1]! - into.depthM[i]!);
  const sum = Math.hypot(bottom[0]! + top[0]!, bottom[1]! + top[1]!, bottom[2]! + top[2]!);
  const down = (bottom[2]! + top[2]!) / sum;
  into.axialKn[i] = weightKnPerM * (bottom[5]! - top[5]!);
  for (let k = 0; k < 3; k += 1) {
    into.bend[3 * i + k] = arc * (bottom[k]! - top[k]!);
    into.acrossKn[3 * i + k] = weight * ((k === 2 ? 1 : 0) - down * ((bottom[k]! + top[k]!) / sum));
  }
}

/**
 * Cuts the string into elements. One layout serves every mode and load at its depth.
 * `hole` sections run downwards, at least one; the string hangs as `hangString` says.
 */
export function layOutString(setup: StringInHole): StringLayout {
  const { path, string, hole, fluidDensityKgM3, steelDensityKgM3 = STEEL_DENSITY_KG_M3, endDepthM } = setup;
  invariant(hole.length > 0, 'a hole has a section');
  invariant(endDepthM > 0, 'the string ends below the surface');
  const hung = hangString(string, endDepthM);
  const layout = emptyLayout(hung, nodeDepths(breakDepths(hung, setup), path));
  const knPerKg = (GRAVITY_M_S2 * buoyancyFactor(fluidDensityKgM3, steelDensityKgM3)) / 1000;
  let top = new Float64Array(PATH_FIELDS);
  let bottom = new Float64Array(PATH_FIELDS);
  let uncoveredM = 0;
  let at = 0;
  path.fill(0, top, 0);
  for (let i = 0; i < layout.elements; i += 1) {
    const [from, to] = [layout.depthM[i]!, layout.depthM[i + 1]!];
    const middle = (from + to) / 2;
    while (hung[at]!.toM <= middle) at += 1;
    const { section } = hung[at]!;
    const bore = nearestHole(hole, middle);
    if (middle < bore.fromM || middle > bore.toM) uncoveredM += to - from;
    path.fill(to, bottom, 0);
    const weight = section.massKgM * knPerKg;
    placeElement(layout, i, weight, top, bottom);
    const contactMm = section.contactOdMm ?? section.odMm;
    const inclination = (Math.acos(Math.max(-1, Math.min(1, (top[2]! + bottom[2]!) / 2))) * 180) / Math.PI;
    layout.friction[i] = bore.friction;
    layout.contactRadiusM[i] = contactMm / 2000;
    layout.areaMm2[i] = steelAreaMm2(section.odMm, section.idMm);
    layout.bucklingKn[i] = sinusoidalBucklingKn(
      section.odMm,
      section.idMm,
      weight,
      inclination,
      (bore.idMm - contactMm) / 2,
    );
    [top, bottom] = [bottom, top];
  }
  return { ...layout, uncoveredM };
}

/** Force on the wall of element i under the tension, kN, ≥ 0. */
function wallForce({ bend, acrossKn }: StringLayout, i: number, tensionKn: number): number {
  const k = 3 * i;
  const north = tensionKn * bend[k]! + acrossKn[k]!;
  const east = tensionKn * bend[k + 1]! + acrossKn[k + 1]!;
  const down = tensionKn * bend[k + 2]! + acrossKn[k + 2]!;
  return Math.sqrt(north * north + east * east + down * down);
}

/** Which way friction along the string adds to the tension, walking up. */
const AXIAL: Record<StringMode, -1 | 0 | 1> = { up: 1, down: -1, rotating: 0 };

/** Tension and torque from the end of the string to the surface. */
export function softString(layout: StringLayout, load: BottomLoad): StringForces {
  const { elements, axialKn, friction, contactRadiusM } = layout;
  const axial = AXIAL[load.mode];
  const tensionKn = new Float64Array(elements + 1);
  let tension = load.endForceKn ?? 0;
  let torque = load.endTorqueKnm ?? 0;
  tensionKn[elements] = tension;
  for (let i = elements - 1; i >= 0; i -= 1) {
    const mu = friction[i]!;
    const half = tension + (axialKn[i]! + axial * mu * wallForce(layout, i, tension)) / 2;
    const wall = mu * wallForce(layout, i, half);
    tension += axialKn[i]! + axial * wall;
    if (axial === 0) torque += wall * contactRadiusM[i]!;
    tensionKn[i] = tension;
  }
  return { surfaceForceKn: tension, surfaceTorqueKnm: torque, tensionKn };
}

/** A set-down is found to this, kN. */
const SET_DOWN_STEP_KN = 0.01;

/** The greatest set-down up to `most` that is `allowed`, which no greater one is once one is not; 0 when none is. */
function greatestSetDown(most: number, allowed: (setDownKn: number) => boolean): number {
  if (!allowed(0)) return 0;
  if (allowed(most)) return most;
  let low = 0;
  let high = most;
  while (high - low > SET_DOWN_STEP_KN) {
    const middle = (low + high) / 2;
    if (allowed(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** No more can be set down, without pushing at surface, than the string weighs along the hole. */
const mostSetDown = ({ axialKn }: StringLayout): number => axialKn.reduce((sum, kn) => sum + Math.abs(kn), 0);

/**
 * The greatest weight, kN, that can be set down at the end while the tension at surface, slacking off, stays at or over
 * `minSurfaceKn` (the least hookload less the block), ≥ 0. To 0.01 kN, never over it; 0 when friction already takes it all.
 * More than `mostKn` is not looked for.
 */
export function availableSetDownKn(
  layout: StringLayout,
  minSurfaceKn: number,
  mostKn = Number.POSITIVE_INFINITY,
): number {
  return greatestSetDown(
    Math.min(mostKn, mostSetDown(layout)),
    (setDown) => softString(layout, { mode: 'down', endForceKn: -setDown }).surfaceForceKn >= minSurfaceKn,
  );
}

/**
 * The greatest set-down, kN, at which no element inclined by `fromInclinationDeg` or more is past its sinusoidal buckling
 * load while slacking off. Less inclined elements are left out: the formula gives a vertical string no strength at all.
 * Infinity when no element is inclined so much. More than `mostKn` is not looked for.
 */
export function setDownBeforeBucklingKn(
  layout: StringLayout,
  fromInclinationDeg: number,
  mostKn = Number.POSITIVE_INFINITY,
): number {
  const { elements, axialKn, acrossKn, bucklingKn } = layout;
  const least = Math.tan((fromInclinationDeg * Math.PI) / 180);
  const judged: number[] = [];
  for (let i = 0; i < elements; i += 1) {
    const across = Math.hypot(acrossKn[3 * i]!, acrossKn[3 * i + 1]!, acrossKn[3 * i + 2]!);
    if (across >= least * Math.abs(axialKn[i]!)) judged.push(i);
  }
  if (judged.length === 0) return Number.POSITIVE_INFINITY;
  return greatestSetDown(Math.min(mostKn, mostSetDown(layout)), (setDown) => {
    const { tensionKn } = softString(layout, { mode: 'down', endForceKn: -setDown });
    return judged.every((i) => Math.min(tensionKn[i]!, tensionKn[i + 1]!) >= -bucklingKn[i]!);
  });
}
