/**
 * Unit symbols of the WITS item table and our names for them. Only symbols of quantities that a channel can carry are
 * here; the others (conductivity, cost, geology ...) are kept raw. The symbols are those of API PUBL 3855 v1.1, what
 * they stand for is common practice: F is feet, KDN is 1,000 decanewton = 10 kN, KLB 1,000 lbf, KFLB 1,000 ft·lbf,
 * L/M litres a minute, GPM US gallons a minute, PPG pounds a US gallon, FPM feet a minute, BPM barrels a minute.
 */
import type { UnitName } from '../../src/units.ts';

export const WITS_UNITS: Readonly<Record<string, UnitName>> = {
  M: 'm',
  F: 'ft',
  MM: 'mm',
  IN: 'in',
  MM2: 'mm²',
  SQIN: 'in²',
  'M/HR': 'm/h',
  'F/HR': 'ft/h',
  FPM: 'ft/min',
  KDN: 'kdaN',
  KLB: 'klbf',
  LB: 'lbf',
  KNM: 'kN·m',
  KFLB: 'kft·lbf',
  KPA: 'kPa',
  PSI: 'psi',
  RPM: 'rpm',
  SPM: 'spm',
  '%': '%',
  'L/M': 'L/min',
  GPM: 'gpm',
  'M3/M': 'm³/min',
  BPM: 'bpm',
  M3: 'm³',
  BBL: 'bbl',
  KGM3: 'kg/m³',
  PPG: 'ppg',
  DEGC: '°C',
  DEGF: '°F',
};

/** Our name for a unit symbol of the item table; undefined when no channel can carry it, '1' when there is none. */
export function witsUnit(symbol: string): UnitName | undefined {
  return symbol === '' ? '1' : Object.hasOwn(WITS_UNITS, symbol) ? WITS_UNITS[symbol] : undefined;
}
