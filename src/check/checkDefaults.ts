/**
 * Values of the check's own that stand in where nothing says otherwise. Each one that was used is listed in the check as a
 * default to be confirmed. They are common practice, not limits of a tool.
 */

import { type DefaultPlace, PLAN_DEFAULTS, type PlanDefault } from '../plan/defaults.ts';
import { SYSTEM_UNITS, UNITS, type UnitSystemConverter } from '../units.ts';
import type { Check } from './checkSchema.ts';

/** By the place in the plan, or the option of the check, that would say otherwise. */
export const CHECK_DEFAULTS = {
  'surface.blockWeight': { value: 0, quantity: 'force', decimals: 0, what: 'weight of the block in every hookload' },
  survey: { value: 0, quantity: 'count', decimals: 0, what: 'inclination: the hole is taken as vertical' },
  'check.buckling.inclination': {
    value: 10,
    quantity: 'count',
    decimals: 0,
    what: 'degrees of inclination from which a string in waves ends the set-down',
  },
  'check.contact.tolerance': {
    value: 1,
    quantity: 'diameter',
    decimals: 1,
    what: 'gap to the wall that still counts as contact',
  },
  'check.spaceOut.reach': {
    value: 3,
    quantity: 'length',
    decimals: 1,
    what: 'shift of the whole liner, up and down, that the space-out looks at',
  },
  'check.spaceOut.step': { value: 0.1, quantity: 'length', decimals: 1, what: 'step of the space-out' },
} as const satisfies Record<string, PlanDefault>;
export type CheckDefaultPlace = keyof typeof CHECK_DEFAULTS;

export type UsedDefault = DefaultPlace | CheckDefaultPlace;

const isOfCheck = (place: UsedDefault): place is CheckDefaultPlace => Object.hasOwn(CHECK_DEFAULTS, place);
export const defaultAt = (place: UsedDefault): PlanDefault =>
  isOfCheck(place) ? CHECK_DEFAULTS[place] : PLAN_DEFAULTS[place];

/** The defaults in the units of the check. */
export function defaultsInUnits(places: readonly UsedDefault[], units: UnitSystemConverter): Check['defaults'] {
  return places.map((place) => {
    const { value, quantity, decimals, what } = defaultAt(place);
    const scale = 10 ** (decimals + 2);
    return {
      place,
      value: Math.round(units.out(quantity, value) * scale) / scale,
      unit: UNITS[SYSTEM_UNITS[units.system][quantity]].label,
      what,
    };
  });
}
