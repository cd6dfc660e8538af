/** Losses and gains, pack-off, stick-slip, standing in open hole: signatures and look-alikes. Magnitudes are common practice. */
import { describe, expect, it } from 'vitest';
import { inUnits } from '../../../src/measuredText.ts';
import { recordOf } from '../../../src/record/record.ts';
import {
  circulating,
  eventsOf,
  kindsOf,
  planWith,
  play,
  type Readings,
  ramp,
  rolling,
  secondsOf,
  wavering,
} from './scene.ts';

const PLAN = planWith({ tanks: { gain: 1, loss: 1 }, flowDifference: { share: 0.1 } });

/** Pumps up at 30 s; flow out 12 % high by its sensor, lagging; tanks steady at 62 m³. */
const pumping = (s: number, more: Readings = {}): Readings => {
  const flow = ramp(s, 30, 45, 0, 900);
  return circulating(s, {
    flowIn: flow > 0 ? flow + 2 * wavering(s, 1) : 0,
    flowOut: ramp(s, 40, 60, 0, 1008) + 6 * wavering(s, 7) * (s > 40 ? 1 : 0),
    tankVolume: 62 + 0.04 * wavering(s, 8),
    standpipePressure: ramp(s, 30, 50, 0, 6000) + 20 * wavering(s, 2),
    ...more,
  });
};
const flowOut = (from: number, to: number, share: number) => (s: number) => {
  const was = pumping(s);
  return { ...was, flowOut: was.flowOut! * ramp(s, from, to, 1, share) };
};
const tanks = (from: number, to: number, by: number) => (s: number) => {
  const was = pumping(s);
  return { ...was, tankVolume: was.tankVolume! + ramp(s, from, to, 0, by) };
};

describe('losses and gains', () => {
  it.each([
    ['losses', flowOut(400, 460, 0.8)],
    ['gain', flowOut(400, 460, 1.2)],
  ] as const)('%s by flow out against its own usual share of flow in, within a minute', (kind, at) => {
    const run = play({ plan: PLAN, seconds: 700, at });
    expect(kindsOf(run)).toEqual([kind]);
    const [from] = secondsOf(eventsOf(run, kind)[0]!);
    expect(from).toBeGreaterThan(425);
    expect(from).toBeLessThan(485);
    expect(inUnits(eventsOf(run, kind)[0]!.detail, 'metric')).toMatch(/flow out \d+ % (below|above) its usual share/);
  });

  it('by the share of range of a flow-out sensor that knows no litres', () => {
    const run = play({
      plan: PLAN,
      seconds: 700,
      at: (s) => ({
        ...flowOut(400, 460, 0.8)(s),
        flowOutShare: flowOut(400, 460, 0.8)(s).flowOut! / 30,
        flowOut: Number.NaN,
      }),
    });
    expect(kindsOf(run)).toEqual(['losses']);
  });

  it.each([
    ['losses', -2.5],
    ['gain', 2.5],
  ] as const)('%s by the tanks at constant conditions', (kind, by) => {
    const run = play({ plan: PLAN, seconds: 1200, at: tanks(400, 900, by) });
    expect(kindsOf(run)).toEqual([kind]);
    const [event] = eventsOf(run, kind);
    // The limit of 1 m³ is passed after 200 s, and seen through the smoothing.
    expect(secondsOf(event!)[0]).toBeGreaterThan(595);
    expect(secondsOf(event!)[0]).toBeLessThan(660);
    expect(inUnits(event!.detail, 'metric')).toMatch(/tanks (up|down) \d\.\d m³ at constant conditions/);
  });

  it.each<[string, (s: number) => Readings]>([
    ['nothing wrong', (s) => pumping(s)],
    ['a sensor that is 12 % off all along', (s) => pumping(s)],
    [
      'by less than the limits',
      (s) => ({ ...flowOut(400, 460, 0.94)(s), tankVolume: tanks(400, 900, -0.7)(s).tankVolume! }),
    ],
    ['channels that are not sent', (s) => pumping(s, { flowOut: Number.NaN, tankVolume: Number.NaN })],
    ['channels of zeros', (s) => pumping(s, { flowOut: 0, flowOutShare: 0, tankVolume: 0 })],
    [
      'channels that never move',
      (s) => pumping(s, { flowOut: 1008, tankVolume: 62, flowIn: s < 300 ? 900 : 600 + 300 * (s % 700 > 600 ? 1 : 0) }),
    ],
    ['a transfer between tanks, all at once', tanks(500, 501, 8)],
    [
      'pumps off for a stand: lines drain back, flow out runs on, and all fills again',
      (s) => {
        const pumps = s < 400 ? 1 : ramp(s, 400, 415, 1, 0) + ramp(s, 900, 930, 0, 1);
        return pumping(s, {
          flowIn: s < 45 ? pumping(s).flowIn! : 900 * pumps + (pumps > 0 ? 2 * wavering(s, 1) : 0),
          flowOut: s < 60 ? pumping(s).flowOut! : 1008 * (ramp(s, 410, 520, 1, 0) + ramp(s, 910, 990, 0, 1)),
          tankVolume: 62 + 0.04 * wavering(s, 8) + 2.4 * (ramp(s, 400, 640, 0, 1) - ramp(s, 900, 1040, 0, 1)),
        });
      },
    ],
    [
      'another rate of the pumps',
      (s) =>
        pumping(s, {
          flowIn: ramp(s, 500, 530, 900, 500) + wavering(s, 1),
          flowOut: ramp(s, 505, 545, 1008, 560) + 5 * wavering(s, 7),
        }),
    ],
    ['single odd readings', (s) => pumping(s, s % 97 === 0 ? { flowOut: 200, tankVolume: 20 } : {})],
  ])('are none: %s', (_what, at) => {
    expect(
      kindsOf(play({ plan: PLAN, seconds: 1500, at })).filter((kind) => kind === 'losses' || kind === 'gain'),
    ).toEqual([]);
  });
});

describe('pack-off', () => {
  /** Pressure, torque and drag up by these shares from 300 s to 360 s, flow out down. */
  const packing = (pressure: number, torque: number, hook: number, out: number) => (s: number) => {
    const was = pumping(s, { rotation: 30, bitDepth: 1012 });
    const by = (share: number) => ramp(s, 300, 360, 1, 1 + share);
    return {
      ...was,
      standpipePressure: was.standpipePressure! * by(pressure),
      torque: was.torque! * by(torque),
      hookload: was.hookload! * by(hook),
      flowOut: was.flowOut! * by(out),
    };
  };
  it('is raised where pressure, torque and drag rise together and flow out falls', () => {
    const [event] = eventsOf(play({ seconds: 600, at: packing(0.25, 0.4, 0.05, -0.08) }), 'pack-off');
    expect(secondsOf(event!)[0]).toBeGreaterThan(310);
    expect(secondsOf(event!)[0]).toBeLessThan(380);
  });
  it.each([
    ['a plugged nozzle: torque and hookload stay', packing(0.25, 0, 0, 0)],
    ['harder rolling: pressure stays', packing(0, 0.4, -0.05, 0)],
    ['flow out stays as it was', packing(0.25, 0.4, 0.05, 0)],
    ['all of it too small', packing(0.05, 0.08, 0.005, -0.02)],
    [
      'a pressure that comes back from a low one',
      (s: number) =>
        pumping(s, {
          standpipePressure: (s < 200 || s > 400 ? 6000 : 4500) + 20 * wavering(s, 2),
          torque: s > 400 ? 8 : 4,
          hookload: s > 400 ? 830 : 790,
        }),
    ],
  ])('is none: %s', (_what, at) => {
    expect(kindsOf(play({ seconds: 600, at }))).not.toContain('pack-off');
  });
});

describe('stick-slip', () => {
  const swinging =
    (share: number, period: number, noise = 0.02) =>
    (s: number) =>
      circulating(s, {
        torque: 8 * (1 + (s > 100 ? (share / 2) * Math.sin((2 * Math.PI * s) / period) : 0) + noise * wavering(s, 9)),
      });
  it.each([2.3, 3, 4.4, 5, 6.7, 8])(
    'a torque that swings by half its mean every %d s is seen within 90 s',
    (period) => {
      const [event] = eventsOf(play({ seconds: 300, at: swinging(0.5, period, 0.05) }), 'stick-slip');
      expect(secondsOf(event!)[0]).toBeGreaterThan(100);
      expect(secondsOf(event!)[0]).toBeLessThan(170);
      expect(inUnits(event!.detail, 'metric')).toMatch(/torque swings by up to \d+ % of its mean, about every \d s/);
    },
  );
  it.each<[string, (s: number) => Readings, number?]>([
    ['a swing within the limit', swinging(0.22, 4)],
    ['noise alone, a fifth of the mean', swinging(0, 4, 0.35)],
    ['a slow swing, as of heave', swinging(0.6, 12)],
    ['torque that comes up', (s) => circulating(s, { torque: ramp(s, 100, 130, 1, 9) })],
    ['torque in steps', (s) => circulating(s, { torque: 4 + 3 * (Math.floor(s / 40) % 2) })],
    ['not turning', (s) => ({ ...swinging(0.6, 4)(s), rotation: 0 })],
    ['frames too slow to show it', swinging(0.6, 4.5), 5],
  ])('is none: %s', (_what, at, every = 1) => {
    expect(kindsOf(play({ seconds: 600, every, at }))).not.toContain('stick-slip');
  });
  it('is said to be turned off where the frames are too slow', () => {
    const off = (every: number) =>
      recordOf(play({ seconds: 300, every, at: swinging(0, 4) }), { frames: 0, rejected: 0, reasons: {} }).turnedOff;
    expect(off(5)!.join()).toMatch(/stick-slip: needs a frame a second, one comes every 5 s/);
    expect(off(1)!.join()).not.toMatch(/stick-slip/);
  });
});

describe('long stationary', () => {
  const plan = planWith({ stationary: { seconds: 180 } });
  const still =
    (more: Readings = {}) =>
    (s: number) =>
      circulating(s, { rotation: s < 100 || s > 400 ? 30 : 0, ...more });
  it('is raised once the string has stood in open hole for as long as the plan allows, dated from when it came to stand', () => {
    const [event] = eventsOf(play({ plan, seconds: 500, at: still() }), 'long stationary');
    expect(secondsOf(event!)).toEqual([100, 401]);
  });
  it.each([
    ['no limit in the plan', planWith({}), still()],
    ['above the liner', plan, still({ bitDepth: 990 })],
    ['turning', plan, (s: number) => circulating(s)],
    ['moving slowly', plan, (s: number) => rolling(s, { rotation: 0 })],
    [
      'above the last section of the hole',
      planWith(
        { stationary: { seconds: 180 } },
        {
          hole: [
            { from: 0, to: 1015, id: 220, friction: 0.2 },
            { from: 1015, to: 1100, id: 216, friction: 0.3 },
          ],
        },
      ),
      still(),
    ],
  ])('is none: %s', (_what, given, at) => {
    expect(kindsOf(play({ plan: given, seconds: 290, at }))).not.toContain('long stationary');
  });
});
