/**
 * Quantities and their units: the one place that knows how a number from outside becomes a number inside.
 *
 * Inside, every quantity has one unit (the `metric` column of the promised file formats); the name of a bare
 * number carries it (`standpipeKpa`, `feedMPerMin`). Conversions happen once, at an edge.
 *
 * Factors: NIST SP 811 (2008), appendix B.8, exact where the definition is exact (inch, foot, pound, gallon, lbf).
 */

export const QUANTITIES = [
  'length',
  'diameter',
  'pressure',
  'force',
  'torque',
  'flow',
  'rotation',
  'feed',
  'density',
  'volume',
  'temperature',
  'area',
  'massPerLength',
  'strokeVolume',
  'sampleVolume',
  'strokeRate',
  'fraction',
  'count',
] as const;
export type Quantity = (typeof QUANTITIES)[number];
export type UnitSystem = 'metric' | 'field';

const FOOT_M = 0.3048;
const INCH_M = 0.0254;
const POUND_KG = 0.45359237;
const LBF_N = POUND_KG * 9.80665;
const GALLON_L = 3.785411784;
const BARREL_M3 = (42 * GALLON_L) / 1000;

/** value in the inside unit = value × scale + offset */
export interface Unit {
  readonly quantity: Quantity;
  readonly label: string;
  readonly scale: number;
  readonly offset: number;
}

const unit = (quantity: Quantity, label: string, scale: number, offset = 0): Unit => ({
  quantity,
  label,
  scale,
  offset,
});

/** Every unit that a file, a channel map or the page may name. Keys are what users write. */
export const UNITS = {
  m: unit('length', 'm', 1),
  ft: unit('length', 'ft', FOOT_M),
  mm: unit('diameter', 'mm', 1),
  in: unit('diameter', 'in', INCH_M * 1000),
  kPa: unit('pressure', 'kPa', 1),
  bar: unit('pressure', 'bar', 100),
  MPa: unit('pressure', 'MPa', 1000),
  psi: unit('pressure', 'psi', LBF_N / (INCH_M * INCH_M) / 1000),
  kN: unit('force', 'kN', 1),
  kdaN: unit('force', 'kdaN', 10),
  klbf: unit('force', 'klbf', LBF_N),
  lbf: unit('force', 'lbf', LBF_N / 1000),
  t: unit('force', 't', 9.80665),
  kN·m: unit('torque', 'kN·m', 1),
  kft·lbf: unit('torque', 'kft·lbf', LBF_N * FOOT_M),
  ft·lbf: unit('torque', 'ft·lbf', (LBF_N * FOOT_M) / 1000),
  'L/min': unit('flow', 'L/min', 1),
  gpm: unit('flow', 'gpm', GALLON_L),
  bpm: unit('flow', 'bbl/min', BARREL_M3 * 1000),
  'm³/min': unit('flow', 'm³/min', 1000),
  rpm: unit('rotation', 'rpm', 1),
  'm/min': unit('feed', 'm/min', 1),
  'ft/min': unit('feed', 'ft/min', FOOT_M),
  'm/h': unit('feed', 'm/h', 1 / 60),
  'ft/h': unit('feed', 'ft/h', FOOT_M / 60),
  'kg/m³': unit('density', 'kg/m³', 1),
  ppg: unit('density', 'ppg', (POUND_KG / GALLON_L) * 1000),
  'lb/ft³': unit('density', 'lb/ft³', POUND_KG / FOOT_M ** 3),
  'm³': unit('volume', 'm³', 1),
  bbl: unit('volume', 'bbl', BARREL_M3),
  '°C': unit('temperature', '°C', 1),
  '°F': unit('temperature', '°F', 5 / 9, -160 / 9),
  'mm²': unit('area', 'mm²', 1),
  'in²': unit('area', 'in²', (INCH_M * 1000) ** 2),
  'kg/m': unit('massPerLength', 'kg/m', 1),
  'lb/ft': unit('massPerLength', 'lb/ft', POUND_KG / FOOT_M),
  'L/stroke': unit('strokeVolume', 'L/stroke', 1),
  'bbl/stroke': unit('strokeVolume', 'bbl/stroke', BARREL_M3 * 1000),
  L: unit('sampleVolume', 'L', 1),
  gal: unit('sampleVolume', 'gal', GALLON_L),
  spm: unit('strokeRate', 'spm', 1),
  '%': unit('fraction', '%', 1),
  '1': unit('count', '', 1),
} as const satisfies Record<string, Unit>;
export type UnitName = keyof typeof UNITS;
export const UNIT_NAMES = Object.keys(UNITS) as UnitName[];

/** The unit of each quantity in the two systems that a file may name. */
export const SYSTEM_UNITS: Record<UnitSystem, Record<Quantity, UnitName>> = {
  metric: {
    length: 'm',
    diameter: 'mm',
    pressure: 'kPa',
    force: 'kN',
    torque: 'kN·m',
    flow: 'L/min',
    rotation: 'rpm',
    feed: 'm/min',
    density: 'kg/m³',
    volume: 'm³',
    temperature: '°C',
    area: 'mm²',
    massPerLength: 'kg/m',
    strokeVolume: 'L/stroke',
    sampleVolume: 'L',
    strokeRate: 'spm',
    fraction: '%',
    count: '1',
  },
  field: {
    length: 'ft',
    diameter: 'in',
    pressure: 'psi',
    force: 'klbf',
    torque: 'kft·lbf',
    flow: 'gpm',
    rotation: 'rpm',
    feed: 'ft/min',
    density: 'ppg',
    volume: 'bbl',
    temperature: '°F',
    area: 'in²',
    massPerLength: 'lb/ft',
    strokeVolume: 'bbl/stroke',
    sampleVolume: 'gal',
    strokeRate: 'spm',
    fraction: '%',
    count: '1',
  },
};

/** From a named unit to the inside unit of its quantity. */
export function toInside(value: number, from: UnitName): number {
  const u = UNITS[from];
  return value * u.scale + u.offset;
}

/** From the inside unit of its quantity to a named unit. */
export function fromInside(value: number, to: UnitName): number {
  const u = UNITS[to];
  return (value - u.offset) / u.scale;
}

export interface UnitSystemConverter {
  readonly system: UnitSystem;
  in(quantity: Quantity, value: number): number;
  out(quantity: Quantity, value: number): number;
  label(quantity: Quantity): string;
}

/** Both directions for every quantity of one unit system. */
export function converter(system: UnitSystem): UnitSystemConverter {
  const names = SYSTEM_UNITS[system];
  return {
    system,
    in: (quantity, value) => toInside(value, names[quantity]),
    out: (quantity, value) => fromInside(value, names[quantity]),
    label: (quantity) => UNITS[names[quantity]].label,
  };
}
