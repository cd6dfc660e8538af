/** The plan's fluid as it flows: density and the flow curve that its viscometer dials make. */
import type { Fluid as FlowingFluid } from '../engineering/flowLoss.ts';
import { DIAL_SPEEDS, fitRheology, type RheologyFit } from '../engineering/rheology.ts';
import type { Fluid } from './engineering.ts';

const isDialSpeed = (rpm: number): boolean => (DIAL_SPEEDS as readonly number[]).includes(rpm);

/** Dials at speeds that no viscometer of six speeds has: they take no part in the curve. */
export const strangeDialsOf = (fluid: Fluid): number[] =>
  fluid.dials.map(({ rpm }) => rpm).filter((rpm) => !isDialSpeed(rpm));

/** Undefined where the dials are left out; refused where they make no curve. */
export function rheologyOf(fluid: Fluid): RheologyFit | undefined {
  if (fluid.dials.length === 0) return undefined;
  const known = fluid.dials.filter(({ rpm }) => isDialSpeed(rpm));
  return fitRheology(Object.fromEntries(known.map(({ rpm, degrees }) => [rpm, degrees])), fluid.model);
}

/** Undefined where the dials are left out or make no curve. */
export function flowingFluidOf(fluid: Fluid, rheology = rheologyOf(fluid)): FlowingFluid | undefined {
  return rheology?.kind === 'fitted'
    ? { densityKgPerM3: fluid.densityKgPerM3, curve: rheology.chosen.curve }
    : undefined;
}
