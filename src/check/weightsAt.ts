/** Weights, torque and stretch with the end of the string at one depth. */
import {
  availableSetDownKn,
  layOutString,
  type StringLayout,
  setDownBeforeBucklingKn,
  softString,
} from '../engineering/softString.ts';
import { elasticMovementM, insidePressureStretchM, tensionStretchM, thermalStretchM } from '../engineering/stretch.ts';
import { hangString } from '../engineering/volumes.ts';
import { toInside, type UnitSystem } from '../units.ts';
import type { CheckBasis } from './checkBasis.ts';
import { CHECK_DEFAULTS } from './checkDefaults.ts';
import type { SET_DOWN_ENDS } from './checkSchema.ts';
import { WORKABLE } from './targets.ts';

/** Hookloads with the block; NaN where the plan cannot say. */
export interface WeightsAt {
  readonly upKn: number;
  readonly downKn: number;
  readonly rotatingKn: number;
  readonly torqueKnm: number;
  readonly weightStretchM: number;
  readonly thermalStretchM: number;
  /** By ten units of force more pull, in the plan's units. */
  readonly perTenPullM: number;
  readonly setDownKn: number;
  readonly setDownEnds: (typeof SET_DOWN_ENDS)[number] | undefined;
  /** Metres of string outside every hole section, where the friction of the nearest one was used. */
  readonly uncoveredM: number;
}

const UNKNOWN: WeightsAt = {
  upKn: Number.NaN,
  downKn: Number.NaN,
  rotatingKn: Number.NaN,
  torqueKnm: Number.NaN,
  weightStretchM: Number.NaN,
  thermalStretchM: Number.NaN,
  perTenPullM: Number.NaN,
  setDownKn: Number.NaN,
  setDownEnds: undefined,
  uncoveredM: 0,
};

/** Stands in for a hole that is not given: without friction, wide enough for any string. Only the free weight is taken. */
const FREE_HOLE_MM = 1e4;

export function weightsAt(basis: CheckBasis, endDepthM: number): WeightsAt {
  const { path, string, blockKn, job } = basis;
  const { fluid, hole, temperature } = job.engineering;
  const thermal = temperature
    ? thermalStretchM(endDepthM, (temperature.surfaceC + temperature.bottomC) / 2 - temperature.talliedC)
    : Number.NaN;
  if (endDepthM > WORKABLE.endDepthM || string.length === 0 || !fluid) return { ...UNKNOWN, thermalStretchM: thermal };
  const known = hole.length > 0;
  const layout = layOutString({
    path,
    string,
    hole: known ? hole : [{ fromM: 0, toM: endDepthM, idMm: FREE_HOLE_MM, friction: 0 }],
    fluidDensityKgM3: fluid.densityKgPerM3,
    endDepthM,
  });
  const rotating = softString(layout, { mode: 'rotating' });
  const free = {
    rotatingKn: rotating.surfaceForceKn + blockKn,
    weightStretchM: tensionStretchM(layout.depthM, rotating.tensionKn, layout.areaMm2),
    thermalStretchM: thermal,
    perTenPullM: elasticMovementM(layout.hung, endDepthM, tenUnitsKn(job.units)),
  };
  if (!known) return { ...UNKNOWN, ...free };
  const setDown = setDownOf(layout, job.engineering.limits.setDownMaxKn);
  return {
    ...free,
    upKn: softString(layout, { mode: 'up' }).surfaceForceKn + blockKn,
    downKn: softString(layout, { mode: 'down' }).surfaceForceKn + blockKn,
    torqueKnm: rotating.surfaceTorqueKnm,
    setDownKn: setDown.kn,
    setDownEnds: setDown.ends,
    uncoveredM: layout.uncoveredM,
  };
}

const tenUnitsKn = (system: UnitSystem): number => toInside(10, system === 'metric' ? 'kN' : 'klbf');

/** The least of the three ends, each looked for no further than the one before; among equals the first. */
function setDownOf(layout: StringLayout, limitKn: number): { kn: number; ends: (typeof SET_DOWN_ENDS)[number] } {
  const straight = setDownBeforeBucklingKn(layout, CHECK_DEFAULTS['check.buckling.inclination'].value, limitKn);
  const kn = Math.min(limitKn, straight);
  const available = availableSetDownKn(layout, 0, kn);
  if (available < kn) return { kn: available, ends: 'no weight left' };
  return { kn, ends: straight < limitKn ? 'buckling' : 'limits.setDown.max' };
}

/** By pressure inside while pumping, m; NaN where a pressure is not known. */
export function pumpingStretchM(
  basis: CheckBasis,
  endDepthM: number,
  { standpipeKpa, toolKpa }: { readonly standpipeKpa: number; readonly toolKpa: number },
): number {
  if (basis.string.length === 0) return Number.NaN;
  return insidePressureStretchM(hangString(basis.string, endDepthM), standpipeKpa, toolKpa);
}
