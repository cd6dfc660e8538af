import { unit } from 'mathjs';
import { expect, test } from 'vitest';
import { DEFAULT_CHANNELS } from '../../ingest/wits/channelMap.ts';
import { WITS_ITEMS, witsItem } from '../../ingest/wits/items.ts';
import { WITS_UNITS, witsUnit } from '../../ingest/wits/witsUnits.ts';
import { CHANNELS } from '../../src/channels.ts';
import { toInside, UNITS } from '../../src/units.ts';

/** What a symbol stands for (common practice), as a general unit library says it: one of it, in our inside unit. */
const BY_MATHJS: [symbol: string, one: string, inside: string][] = [
  ['F', '1 ft', 'm'],
  ['KDN', '10 kN', 'kN'],
  ['KLB', '1000 lbf', 'kN'],
  ['LB', '1 lbf', 'kN'],
  ['KFLB', '1000 ft lbf', 'kN m'],
  ['KNM', '1 kN m', 'kN m'],
  ['PSI', '1 psi', 'kPa'],
  ['L/M', '1 L/minute', 'L/minute'],
  ['GPM', '1 gal/minute', 'L/minute'],
  ['M3/M', '1 m3/minute', 'L/minute'],
  ['PPG', '1 lbm/gal', 'kg/m3'],
  ['F/HR', '1 ft/hour', 'm/minute'],
  ['FPM', '1 ft/minute', 'm/minute'],
  ['SQIN', '1 sqin', 'mm^2'],
];

test.each(BY_MATHJS)('%s is %s', (symbol, one, inside) => {
  const expected = unit(one).toNumber(inside);
  expect(toInside(1, witsUnit(symbol)!) / expected).toBeCloseTo(1, 6);
});

test('a barrel is 42 US gallons, 212 °F is 100 °C', () => {
  expect(toInside(1, witsUnit('BBL')!)).toBeCloseTo(unit('42 gal').toNumber('m3'), 6);
  expect(toInside(1, witsUnit('BPM')!)).toBeCloseTo(unit('42 gal').toNumber('L'), 3);
  expect(toInside(212, witsUnit('DEGF')!)).toBeCloseTo(100, 9);
});

test('every symbol stands in the item table or is its metric partner, and every default item has a unit of its channel', () => {
  const printed = new Set(WITS_ITEMS.flatMap((item) => [item.units.metric, item.units.field]));
  for (const symbol of Object.keys(WITS_UNITS)) expect(printed, symbol).toContain(symbol);
  for (const [code, channel] of DEFAULT_CHANNELS) {
    const item = witsItem(code)!;
    for (const symbol of [item.units.metric, item.units.field]) {
      expect(UNITS[witsUnit(symbol)!].quantity, `${code} ${symbol}`).toBe(CHANNELS[channel].quantity);
    }
  }
  expect(witsUnit('MMHO')).toBeUndefined();
  expect(witsUnit('constructor')).toBeUndefined();
});
