import { describe, expect, test } from 'vitest';
import type { RigReading } from '../../ingest/simulator/sensors.ts';
import { type WitsStyle, witsPackets } from '../../ingest/simulator/witsWriter.ts';

const READING: RigReading = {
  sourceMs: Date.UTC(2031, 2, 4, 23, 59, 58, 700),
  bitDepth: 2450.13,
  holeDepth: 2530,
  blockPosition: 12.34,
  feed: 1.2,
  hookload: 785,
  setDown: 20,
  torque: 7.5,
  rotation: 30.4,
  standpipePressure: 9250,
  annulusPressure: 0,
  strokeRate1: 28,
  strokeRate2: 28,
  strokeCount: 1234,
  tankVolume: 62,
  flowIn: 910,
  flowOut: 905,
  densityIn: 1180,
  temperatureIn: 34,
  temperatureOut: 39,
  inSlips: true,
};
const STYLE: WitsStyle = { units: 'metric', utcOffsetMs: 0, wellId: 'Test 1', record5: false, record11: false };

const itemsOf = (packet: string): Record<string, string> =>
  Object.fromEntries(
    packet
      .split('\r\n')
      .slice(1, -2)
      .map((line) => [line.slice(0, 4), line.slice(4)]),
  );

// Items and units of record 1: API PUBL 3855 (WITS 1.1, 1991): metric M, KDN (10 kN), KNM, KPA, L/M, M/HR;
// FPS F, KLB, KFLB, PSI, GPM, F/HR. Conversions by hand from NIST SP 811 factors.
describe('a reading as WITS level 0', () => {
  test.each([
    ['0101', 'Test 1', 'Test 1'],
    ['0103', '1', '1'],
    ['0104', '7', '7'],
    ['0105', '310304', '310304'],
    ['0106', '235958', '235958'],
    ['0108', '2450.13', '8038.48'],
    ['0112', '12.34', '40.49'],
    ['0113', '72.0', '236.2'],
    ['0114', '78.50', '176.5'],
    ['0118', '7.50', '5.53'],
    ['0120', '30', '30'],
    ['0121', '9250', '1342'],
    ['0130', '910', '240.4'],
    ['0132', '1180', '9.85'],
    ['0134', '34.0', '93.2'],
    ['0137', '1234', '1234'],
  ])('item %s is %s in metric and %s in field units', (code, metric, field) => {
    expect(itemsOf(witsPackets(READING, 7, STYLE)[0]!)[code]).toBe(metric);
    expect(itemsOf(witsPackets(READING, 7, { ...STYLE, units: 'field' })[0]!)[code]).toBe(field);
  });

  test('is framed by && and !! with CR LF, each line a code of four digits and a value', () => {
    const packets = witsPackets(READING, 0, { ...STYLE, record5: true, record11: true });
    expect(packets).toHaveLength(3);
    for (const packet of packets) expect(packet).toMatch(/^&&\r\n(\d{4}[^\r\n]+\r\n)+!!\r\n$/);
    expect(Object.keys(itemsOf(packets[0]!)).length).toBeGreaterThanOrEqual(20);
  });

  test('record 5 says whether the string is in slips; record 11 comes with every tenth frame', () => {
    const style = { ...STYLE, record5: true, record11: true };
    expect(itemsOf(witsPackets(READING, 1, style)[1]!)['0513']).toBe('Y');
    expect(itemsOf(witsPackets({ ...READING, inSlips: false }, 1, style)[1]!)['0513']).toBe('N');
    expect(witsPackets(READING, 1, style)).toHaveLength(2);
  });

  test('stamps are in the time of the rig', () => {
    const items = itemsOf(witsPackets(READING, 0, { ...STYLE, utcOffsetMs: 3_600_000 })[0]!);
    expect([items['0105'], items['0106']]).toEqual(['310305', '005958']);
  });
});
