/** How units are spelled in files for others: in ASCII, since LAS 2.0 holds nothing else, and as our own import reads them. */
import { type Quantity, SYSTEM_UNITS, UNITS, type UnitName, type UnitSystem } from '../units.ts';

/** Degree, superscripts and the middle dot have their usual ASCII forms. */
export const asciiUnit = (unit: UnitName): string =>
  UNITS[unit].label.replace('°', 'deg').replace('³', '3').replace('²', '2').replaceAll('·', '.');

/**
 * Where the unit dictionary of WITSML 1.4.1.1 has a symbol of its own: AnglePerTimeUom, MomentOfForceUom and ForceUom were
 * read, those of flow, density and strokes are from memory.
 */
const WITSML_SYMBOLS: Partial<Readonly<Record<UnitName, string>>> = {
  gpm: 'galUS/min',
  ppg: 'lbm/galUS',
  spm: '1/min',
};

/** Empty for what has no unit. */
export const witsmlUnit = (unit: UnitName): string => WITSML_SYMBOLS[unit] ?? asciiUnit(unit);

export const unitOf = (quantity: Quantity, system: UnitSystem): UnitName => SYSTEM_UNITS[system][quantity];
