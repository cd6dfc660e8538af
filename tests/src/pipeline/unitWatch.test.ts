/** A reading that changes its unit, against everything else that makes a reading jump. Factors: NIST SP 811 (2008), B.8. */
import { describe, expect, it } from 'vitest';
import type { Sample } from '../../../src/channels.ts';
import { inUnits } from '../../../src/measuredText.ts';
import { circulating, eventsOf, kindsOf, play, type Readings, ramp, rolling, secondsOf, wavering } from './scene.ts';

type Channel = 'standpipePressure' | 'hookload' | 'torque' | 'flowIn' | 'flowOut' | 'bitDepth' | 'blockPosition';
const times =
  (channel: Channel, factor: number, from = 150, to = Infinity) =>
  (s: number): Readings => {
    const was = rolling(s, { flowOut: 900 + 5 * wavering(s, 7) });
    return s >= from && s < to ? { ...was, [channel]: was[channel]! * factor } : was;
  };

describe('a unit change', () => {
  it.each<[Channel, number, string]>([
    // channel, factor | what is said
    ['standpipePressure', 14.5038, 'Standpipe pressure'],
    ['standpipePressure', 1 / 14.5038, 'Standpipe pressure'],
    ['standpipePressure', 6.894757, 'Standpipe pressure'],
    ['standpipePressure', 1 / 6.894757, 'Standpipe pressure'],
    ['standpipePressure', 0.01, 'Standpipe pressure'],
    ['hookload', 4.448222, 'Hookload'],
    ['hookload', 1 / 4.448222, 'Hookload'],
    ['hookload', 1 / 9.80665, 'Hookload'],
    ['torque', 737.562, 'Torque'],
    ['torque', 1 / 737.562, 'Torque'],
    ['flowIn', 1 / 3.785412, 'Flow in'],
    ['flowIn', 3.785412, 'Flow in'],
    ['flowOut', 1 / 3.785412, 'Flow out'],
    ['bitDepth', 3.28084, 'End depth'],
    ['bitDepth', 1 / 3.28084, 'End depth'],
    ['blockPosition', 3.28084, 'Block position'],
    ['blockPosition', 1 / 3.28084, 'Block position'],
  ])('of %s by %d is raised within a minute, and names the channel and the ratio', (channel, factor, label) => {
    const events = eventsOf(play({ seconds: 215, at: times(channel, factor) }), 'unit change');
    expect(events).toHaveLength(1);
    expect(secondsOf(events[0]!)).toEqual([150, null]);
    const words = inUnits(events[0]!.detail, 'metric');
    expect(words).toContain(`${label} jumped to`);
    const said = Number(/jumped to (\S+) times/.exec(words)![1]);
    expect(Math.abs(said / factor - 1)).toBeLessThan(0.005);
  });

  it('is over once the reading has jumped back', () => {
    const [event] = eventsOf(play({ seconds: 280, at: times('standpipePressure', 14.5038, 120, 200) }), 'unit change');
    expect(secondsOf(event!)[0]).toBe(120);
    expect(secondsOf(event!)[1]).toBeGreaterThanOrEqual(200);
    expect(secondsOf(event!)[1]).toBeLessThan(210);
  });

  it('of every channel at once is one event that names them all', () => {
    const at = (s: number): Readings => {
      const was = rolling(s);
      if (s < 150) return was;
      return {
        ...was,
        standpipePressure: was.standpipePressure! / 6.894757,
        hookload: was.hookload! / 4.448222,
        flowIn: was.flowIn! / 3.785412,
        bitDepth: was.bitDepth! / 0.3048,
        blockPosition: was.blockPosition! / 0.3048,
      };
    };
    const events = eventsOf(play({ seconds: 215, at }), 'unit change');
    expect(events).toHaveLength(1);
    const words = inUnits(events[0]!.detail, 'metric');
    for (const label of ['Standpipe pressure', 'Hookload', 'Flow in', 'End depth', 'Block position'])
      expect(words).toContain(label);
  });
});

describe('is none:', () => {
  const idle = { rotation: 0, torque: 0, flowIn: 0, standpipePressure: 0 };
  it.each<[string, (s: number) => Readings]>([
    ['nothing wrong', rolling],
    ['a factor between units', times('standpipePressure', 2)],
    ['one odd reading at the ratio', (s) => (s === 150 ? times('standpipePressure', 14.5038)(s) : rolling(s))],
    ['three odd readings at the ratio', times('standpipePressure', 14.5038, 150, 153)],
    [
      'pumps stepped up with their flow',
      (s) =>
        circulating(s, s < 150 ? { standpipePressure: 1300, flowIn: 340 } : { standpipePressure: 1300 * 6.894757 }),
    ],
    [
      'pumps ramped up over the ratio',
      (s) => circulating(s, { standpipePressure: ramp(s, 150, 190, 900, 900 * 14.5038) }),
    ],
    [
      'a string of 4.448 times the block, set into the slips all at once',
      (s) => circulating(s, s < 150 ? { ...idle, hookload: 800.7 } : { ...idle, hookload: 180 }),
    ],
    [
      'the same out of the slips',
      (s) => circulating(s, s < 150 ? { ...idle, hookload: 180 } : { ...idle, hookload: 800.7 }),
    ],
    ['torque that falls by a quarter', (s) => circulating(s, { torque: s < 150 ? 8 : 5.9 })],
    ['a channel of zeros that begins to read', (s) => circulating(s, { flowOut: s < 150 ? 0 : 900 })],
    ['nulls all over', (s) => (s % 3 === 0 ? {} : rolling(s))],
  ])('%s', (_what, at) => {
    const run = play({ seconds: 260, at });
    expect(kindsOf(run)).not.toContain('unit change');
  });

  it('across a stretch without data', () => {
    const at = (s: number) => (s > 150 && s < 190 ? null : times('standpipePressure', 14.5038, 190)(s));
    expect(kindsOf(play({ seconds: 260, at }))).not.toContain('unit change');
  });
});

it('channels of the watch are channels of a sample', () => {
  const channels: (keyof Sample)[] = [
    'standpipePressure',
    'hookload',
    'torque',
    'flowIn',
    'flowOut',
    'bitDepth',
    'blockPosition',
  ];
  expect(Object.keys(play({ seconds: 1, at: rolling }).unitWatch.readings)).toEqual(channels);
});
