/** Overpull, set-down and hookload over the plan's limits, and what looks like them. Magnitudes are common practice. */
import { describe, expect, it } from 'vitest';
import {
  circulating,
  eventsOf,
  kindsOf,
  planWith,
  play,
  type Readings,
  ramp,
  secondsOf,
  toCm,
  wavering,
} from './scene.ts';

const LIMITS = { overpull: { max: 60 }, setDown: { max: 80 }, hookload: { max: 1000 } };
const PLAN = planWith(LIMITS);

/** Turning until 60 s, then up at 2 m/min without turning for 60 s (40 kN of drag), then whatever `more` says. */
const liftedThen = (more: (s: number) => Readings) => (s: number) =>
  circulating(s, {
    bitDepth: toCm(ramp(s, 60, 120, 1013, 1011)),
    blockPosition: toCm(ramp(s, 60, 120, 13, 15)),
    rotation: s < 60 ? 30 : 0,
    torque: s < 60 ? 4 : 0,
    hookload: (s < 60 || s > 120 ? 790 : 830) + wavering(s, 5),
    ...more(s),
  });

describe('overpull', () => {
  const stuck = (kn: number) => liftedThen((s) => (s > 150 && s < 180 ? { hookload: 830 + kn } : {}));
  it('is raised above the free up-weight, within seconds, and ends with it', () => {
    const [event] = eventsOf(play({ plan: PLAN, seconds: 240, at: stuck(75) }), 'overpull');
    expect(secondsOf(event!)).toEqual([151, 180]);
  });
  it.each([
    ['a pull within the limit', PLAN, stuck(50)],
    ['a plan without the limit', planWith({}), stuck(200)],
    ['one odd reading', PLAN, liftedThen((s) => (s === 160 ? { hookload: 1100 } : {}))],
  ])('is none: %s', (_what, plan, at) => {
    expect(kindsOf(play({ plan, seconds: 240, at }))).not.toContain('overpull');
  });
});

describe('high set-down', () => {
  const setDown =
    (kn: number, more: Readings = {}) =>
    (s: number) =>
      circulating(s, s >= 100 && s < 160 ? { hookload: 790 - ramp(s, 100, 120, 0, kn) + wavering(s, 5), ...more } : {});
  it('is raised on a tool that turns, once it is over the limit', () => {
    const [event] = eventsOf(play({ plan: PLAN, seconds: 240, at: setDown(120) }), 'high set-down');
    expect(secondsOf(event!)[0]).toBeGreaterThanOrEqual(112);
    expect(secondsOf(event!)[0]).toBeLessThanOrEqual(116);
    expect(secondsOf(event!)[1]).toBe(160);
  });
  it('is raised on a string that neither turns nor is pumped through once it cannot be going into the slips', () => {
    const idle = { rotation: 0, torque: 0, flowIn: 0, standpipePressure: 0 };
    expect(kindsOf(play({ plan: PLAN, seconds: 240, at: setDown(120, idle) }))).toContain('high set-down');
  });
  it.each([
    ['within the limit', PLAN, setDown(70)],
    ['a plan without the limit', planWith({}), setDown(200)],
    [
      'weight taken by the slips in ten seconds',
      PLAN,
      (s: number) =>
        circulating(
          s,
          s < 100
            ? {}
            : { rotation: 0, torque: 0, flowIn: 0, standpipePressure: 0, hookload: ramp(s, 110, 120, 790, 180) },
        ),
    ],
    [
      'weight that comes back out of the slips in ten seconds',
      PLAN,
      (s: number) =>
        circulating(
          s,
          s < 100
            ? { hookload: 180, rotation: 0, torque: 0, flowIn: 0, standpipePressure: 0 }
            : { hookload: ramp(s, 100, 110, 180, 790), flowIn: ramp(s, 130, 140, 0, 900), rotation: s > 140 ? 30 : 0 },
        ),
    ],
  ])('is none: %s', (_what, plan, at) => {
    expect(kindsOf(play({ plan, seconds: 240, at }))).not.toContain('high set-down');
  });
});

describe('high hookload', () => {
  const pull = (kn: number) => (s: number) => circulating(s, s >= 100 && s < 130 ? { hookload: kn } : {});
  it('is raised over the limit, and not under it', () => {
    expect(eventsOf(play({ plan: PLAN, seconds: 200, at: pull(1010) }), 'high hookload').map(secondsOf)).toEqual([
      [100, 130],
    ]);
    expect(kindsOf(play({ plan: PLAN, seconds: 200, at: pull(995) }))).toEqual([]);
  });
});
