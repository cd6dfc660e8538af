/**
 * How others write the units that a channel can carry. Symbols of API PUBL 3855 are in `wits/witsUnits`; the others are
 * common practice in log files (from memory), spelled in lower case without blanks, dots, middle dots and brackets.
 */
import { type Quantity, UNITS, type UnitName } from '../../src/units.ts';
import { WITS_UNITS } from '../wits/witsUnits.ts';

/** One of ours, times a number where the file's unit is a multiple of it. */
export interface ReadUnit {
  readonly unit: UnitName;
  readonly times: number;
}

const ROWS: readonly (readonly [spellings: string, unit: UnitName, times?: number])[] = [
  ['m metre metres meter meters', 'm'],
  ['cm', 'm', 0.01],
  ['mm', 'm', 0.001],
  ['ft f feet foot', 'ft'],
  ['kpa kpag kpaa', 'kPa'],
  ['pa', 'kPa', 0.001],
  ['mpa', 'MPa'],
  ['bar bars barg', 'bar'],
  ['psi psig psia', 'psi'],
  ['kn', 'kN'],
  ['n', 'kN', 0.001],
  ['dan', 'kN', 0.01],
  ['kdan kdn', 'kdaN'],
  ['klbf klb klbs', 'klbf'],
  ['lbf lb lbs', 'lbf'],
  ['t tonne tonnes tf kkgf', 't'],
  ['kgf', 't', 0.001],
  ['knm kn*m', 'kN·m'],
  ['nm n*m', 'kN·m', 0.001],
  ['kftlbf kftlb kft*lbf kft-lb kft-lbf kflb klbfft klbf*ft', 'kft·lbf'],
  ['ftlbf ftlb ft*lbf ft-lb ft-lbf lbfft lbf*ft', 'ft·lbf'],
  ['l/min lpm l/m', 'L/min'],
  ['l/s', 'L/min', 60],
  ['m3/min m³/min m3/m', 'm³/min'],
  ['m3/h m³/h m3/hr', 'm³/min', 1 / 60],
  ['m3/s m³/s', 'm³/min', 60],
  ['gpm gal/min galus/min', 'gpm'],
  ['bpm bbl/min', 'bpm'],
  ['rpm rev/min r/min 1/min c/min', 'rpm'],
  ['1/s rev/s c/s', 'rpm', 60],
  ['kg/m3 kg/m³ kgm3', 'kg/m³'],
  ['g/cm3 g/cm³ g/cc sg', 'kg/m³', 1000],
  ['ppg lb/gal lbm/gal lbm/galus', 'ppg'],
  ['lb/ft3 lbm/ft3 pcf', 'lb/ft³'],
  ['m3 m³', 'm³'],
  ['l', 'm³', 0.001],
  ['bbl bbls', 'bbl'],
  ['degc °c c', '°C'],
  ['degf °f f', '°F'],
  ['spm stk/min strokes/min 1/min c/min', 'spm'],
  ['1/s', 'spm', 60],
  ['% pct percent', '%'],
  ['euc fraction ratio', '%', 100],
  ['1 unitless none euc stk strokes stks', '1'],
];

const bare = (text: string): string => text.toLowerCase().replace(/[\s.·()[\]]/g, '');

function spellings(): ReadonlyMap<string, readonly ReadUnit[]> {
  const all = new Map<string, ReadUnit[]>();
  const add = (spelling: string, read: ReadUnit) => all.set(spelling, [...(all.get(spelling) ?? []), read]);
  for (const unit of Object.keys(UNITS) as UnitName[]) add(bare(unit), { unit, times: 1 });
  for (const [symbol, unit] of Object.entries(WITS_UNITS)) add(bare(symbol), { unit, times: 1 });
  for (const [words, unit, times = 1] of ROWS) for (const word of words.split(' ')) add(bare(word), { unit, times });
  return all;
}

const SPELLINGS = spellings();
/** What stands where a column has no unit. */
const NO_UNIT = new Set(['', '-', '--', '---', 'none', 'unitless', 'n/a']);

export const saysNoUnit = (text: string): boolean => NO_UNIT.has(bare(text));

/** Whether a text is a unit that is known, of any quantity. */
export const isUnit = (text: string): boolean => SPELLINGS.has(bare(text));

/** The unit of a quantity that a text names; undefined for none. */
export function readUnit(text: string, quantity: Quantity): ReadUnit | undefined {
  return SPELLINGS.get(bare(text))?.find(({ unit }) => UNITS[unit].quantity === quantity);
}
