/**
 * Readings as WITS level 0 text. Items and units of record 1 (general, time-based), record 5 (tripping, time-based)
 * and record 11 (tank volumes): API PUBL 3855, WITS version 1.1, 1991. Metric force is in KDN (10 kN).
 */
import { fromInside, type UnitName, type UnitSystem } from '../../src/units.ts';
import type { RigReading } from './sensors.ts';

export interface WitsStyle {
  readonly units: UnitSystem;
  /** Added to UTC for the stamps of items 05 and 06, ms. */
  readonly utcOffsetMs: number;
  readonly wellId: string;
  readonly record5: boolean;
  readonly record11: boolean;
}

type Key = Exclude<keyof RigReading, 'sourceMs' | 'inSlips'>;
interface Item {
  readonly code: string;
  readonly from: Key;
  readonly metric: UnitName;
  readonly field: UnitName;
  /** Decimals in metric and in field units. */
  readonly decimals: readonly [number, number];
}
const item = (
  code: string,
  from: Key,
  metric: UnitName,
  field: UnitName,
  metricDecimals: number,
  fieldDecimals: number,
): Item => ({
  code,
  from,
  metric,
  field,
  decimals: [metricDecimals, fieldDecimals],
});

const RECORD_1: readonly Item[] = [
  item('0108', 'bitDepth', 'm', 'ft', 2, 2),
  item('0110', 'holeDepth', 'm', 'ft', 2, 2),
  item('0112', 'blockPosition', 'm', 'ft', 2, 2),
  item('0113', 'feed', 'm/h', 'ft/h', 1, 1),
  item('0114', 'hookload', 'kdaN', 'klbf', 2, 1),
  item('0116', 'setDown', 'kdaN', 'klbf', 2, 1),
  item('0118', 'torque', 'kN·m', 'kft·lbf', 2, 2),
  item('0120', 'rotation', 'rpm', 'rpm', 0, 0),
  item('0121', 'standpipePressure', 'kPa', 'psi', 0, 0),
  item('0122', 'annulusPressure', 'kPa', 'psi', 0, 0),
  item('0123', 'strokeRate1', 'spm', 'spm', 0, 0),
  item('0124', 'strokeRate2', 'spm', 'spm', 0, 0),
  item('0126', 'tankVolume', 'm³', 'bbl', 2, 1),
  item('0129', 'flowOut', 'L/min', 'gpm', 0, 1),
  item('0130', 'flowIn', 'L/min', 'gpm', 0, 1),
  item('0132', 'densityIn', 'kg/m³', 'ppg', 0, 2),
  item('0133', 'temperatureOut', '°C', '°F', 1, 1),
  item('0134', 'temperatureIn', '°C', '°F', 1, 1),
  item('0137', 'strokeCount', '1', '1', 0, 0),
];
const RECORD_5: readonly Item[] = [
  item('0508', 'bitDepth', 'm', 'ft', 2, 2),
  item('0514', 'hookload', 'kdaN', 'klbf', 2, 1),
  item('0515', 'blockPosition', 'm', 'ft', 2, 2),
];
const RECORD_11: readonly Item[] = [
  item('1110', 'tankVolume', 'm³', 'bbl', 2, 1),
  item('1111', 'tankVolume', 'm³', 'bbl', 2, 1),
];
/** Record 11 comes with every so many frames of record 1. */
const RECORD_11_EVERY = 10;

const two = (n: number): string => String(n).padStart(2, '0');

/** Items 01 to 07 of any record. Stamps are cut to the second. */
function head(record: string, sequence: number, sourceMs: number, style: WitsStyle): string {
  const at = new Date(sourceMs + style.utcOffsetMs);
  const date = two(at.getUTCFullYear() % 100) + two(at.getUTCMonth() + 1) + two(at.getUTCDate());
  const time = two(at.getUTCHours()) + two(at.getUTCMinutes()) + two(at.getUTCSeconds());
  return (
    `&&\r\n${record}01${style.wellId}\r\n${record}020\r\n${record}03${Number(record)}\r\n${record}04${sequence}\r\n` +
    `${record}05${date}\r\n${record}06${time}\r\n${record}070\r\n`
  );
}

function body(items: readonly Item[], reading: RigReading, units: UnitSystem): string {
  let text = '';
  for (const { code, from, metric, field, decimals } of items) {
    const value = units === 'metric' ? fromInside(reading[from], metric) : fromInside(reading[from], field);
    const fixed = value.toFixed(decimals[units === 'metric' ? 0 : 1]);
    text += `${code}${Number(fixed) === 0 ? fixed.replace('-', '') : fixed}\r\n`;
  }
  return text;
}

/**
 * The packets of one reading, each a whole `&&…!!` text with CR LF; the first is record 1.
 * @param sequence number of the reading, from 0
 */
export function witsPackets(reading: RigReading, sequence: number, style: WitsStyle): string[] {
  const { sourceMs } = reading;
  const packets = [`${head('01', sequence, sourceMs, style)}${body(RECORD_1, reading, style.units)}!!\r\n`];
  if (style.record5) {
    const slips = `0513${reading.inSlips ? 'Y' : 'N'}\r\n`;
    packets.push(`${head('05', sequence, sourceMs, style)}${slips}${body(RECORD_5, reading, style.units)}!!\r\n`);
  }
  if (style.record11 && sequence % RECORD_11_EVERY === 0) {
    packets.push(`${head('11', sequence, sourceMs, style)}${body(RECORD_11, reading, style.units)}!!\r\n`);
  }
  return packets;
}
