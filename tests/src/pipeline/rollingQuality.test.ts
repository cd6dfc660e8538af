/** Feed per turn, dwell, pressure in a keep-out, overlap: each raised where it must be, and silent on what looks like it. */
import { describe, expect, it } from 'vitest';
import { feedPerTurnOf } from '../../../src/pipeline/rollingQuality.ts';
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
  toCm,
  wavering,
} from './scene.ts';

/** 1.2 m/min at 30 rpm are 40 mm a turn. */
const perTurn = (mm: number) => {
  const plan = planWith({});
  return { ...plan, recipes: { ...plan.recipes, screen: { ...plan.recipes.screen!, feedPerTurn: { max: mm } } } };
};

describe('feed per turn', () => {
  it('is feed over rotation while it turns and gets deeper', () => {
    const run = play({ seconds: 150, at: rolling });
    expect(feedPerTurnOf(run)).toBeCloseTo(0.04, 2);
    expect(feedPerTurnOf(play({ seconds: 50, at: circulating }))).toBe(0);
    expect(feedPerTurnOf(play({ seconds: 50, at: (s) => circulating(s, { rotation: 0 }) }))).toBeNaN();
  });

  it('over the bound is an event on the joint, and the cause of the gap', () => {
    const slow = (s: number) => rolling(s, s > 120 && s < 220 ? { rotation: 20 + 0.3 * wavering(s) } : {});
    const run = play({ plan: perTurn(50), seconds: 360, at: slow });
    const [event, ...others] = eventsOf(run, 'high feed per turn');
    expect(others).toEqual([]);
    expect(event!.joint).toBe('S1');
    expect(Math.abs(secondsOf(event!)[0] - 121)).toBeLessThan(10);
    expect(Math.abs(secondsOf(event!)[1]! - 220)).toBeLessThan(15);
    expect(kindsOf(run)).not.toContain('fast feed');
    const [gap] = recordOf(run, { frames: 0, rejected: 0, reasons: {} }).joints.find((one) => one.name === 'S1')!.gaps;
    expect(gap!.cause).toBe('high feed per turn');
    expect(gap!.to - gap!.from).toBeCloseTo(2, 0);
  });

  it.each([
    ['within the bound', perTurn(44), {}],
    ['no bound', planWith({}), { rotation: 20 }],
    ['not pressed: that is the trouble', perTurn(50), { rotation: 20, standpipePressure: 3000 }],
  ])('is none: %s', (_what, plan, more) => {
    expect(kindsOf(play({ plan, seconds: 360, at: (s) => rolling(s, more) }))).not.toContain('high feed per turn');
  });

  it('both are said where both bounds are broken', () => {
    const fast = (s: number) =>
      rolling(s, { bitDepth: toCm(ramp(s, 60, 140, 1015.2, 1019.5)), blockPosition: toCm(ramp(s, 60, 140, 15, 10.7)) });
    const kinds = kindsOf(play({ plan: perTurn(50), seconds: 200, at: fast }));
    expect(kinds).toEqual(expect.arrayContaining(['fast feed', 'high feed per turn']));
  });
});

/** Rolls to 1017.2 m by 160 s, stands there, and goes on. */
const standing =
  (until: number, more: Readings = {}) =>
  (s: number) =>
    rolling(s, {
      bitDepth: toCm(s < 160 ? ramp(s, 60, 160, 1015.2, 1017.2) : ramp(s, until, until + 100, 1017.2, 1019.2)),
      blockPosition: toCm(s < 160 ? ramp(s, 60, 160, 15, 13) : ramp(s, until, until + 100, 13, 11)),
      ...(s > 160 && s < until ? { torque: 4, hookload: 790, ...more } : {}),
    });

describe('long dwell', () => {
  const plan = planWith({ dwell: { seconds: 120 } });
  it('is raised once it has rolled at one depth for as long as the plan allows, dated from when it came there', () => {
    const [event] = eventsOf(play({ plan, seconds: 460, at: standing(360) }), 'long dwell');
    expect(event!.joint).toBe('S1');
    expect(Math.abs(secondsOf(event!)[0] - 158)).toBeLessThan(5);
    expect(Math.abs(secondsOf(event!)[1]! - 364)).toBeLessThan(6);
  });
  it.each([
    ['not long enough', plan, standing(265)],
    ['no limit in the plan', planWith({}), standing(600)],
    ['pressure taken off', plan, standing(500, { standpipePressure: 2000 })],
    ['rotation stopped', plan, standing(500, { rotation: 0 })],
    ['outside the joints', plan, (s: number) => circulating(s, { standpipePressure: 9000 })],
  ])('is none: %s', (_what, given, at) => {
    expect(kindsOf(play({ plan: given, seconds: 460, at }))).not.toContain('long dwell');
  });
});

describe('pressure at connection', () => {
  const plan = planWith({ atConnection: { pressure: 3000 } });
  /** From S1 into S2: the thread at 1019 m lies between 1018.5 and 1019.5 m, the end of the string a metre deeper. */
  const crossing = (kPa: number) => (s: number) =>
    rolling(s, {
      bitDepth: toCm(ramp(s, 60, 360, 1015.2, 1021.2)),
      blockPosition: toCm(ramp(s, 60, 360, 15, 9)),
      ...(s < 80 ? { standpipePressure: 1000 } : {}),
      ...(s > 272 && s < 334 ? { standpipePressure: kPa } : {}),
    });
  it('is raised where a tool crosses the thread under pressure, once', () => {
    const events = eventsOf(play({ plan, seconds: 400, at: crossing(9000) }), 'pressure at connection');
    expect(events.map((one) => one.joint)).toEqual(['S1']);
    // More than half the keep-out off the part to be expanded: 1018.75 to 1019.25 m.
    expect(Math.abs(secondsOf(events[0]!)[0] - 288)).toBeLessThan(4);
    expect(Math.abs(secondsOf(events[0]!)[1]! - 313)).toBeLessThan(4);
  });
  it.each([
    ['crossed with the pressure off', plan, crossing(1000)],
    ['no limit in the plan', planWith({}), crossing(9000)],
    [
      'pumps on their way up beside the thread',
      plan,
      (s: number) => circulating(s, { bitDepth: 1020, standpipePressure: ramp(s, 60, 75, 0, 17000), flowIn: 1200 }),
    ],
  ])('is none: %s', (_what, given, at) => {
    expect(kindsOf(play({ plan: given, seconds: 400, at }))).not.toContain('pressure at connection');
  });
  it('is none of a tool that the valve has shut off', () => {
    const withPath = planWith(
      { atConnection: { pressure: 3000 } },
      {
        flowPath: { shiftsAt: 1100, dischargeCoefficient: 0.95, low: { area: 140 }, high: { area: 117 } },
        tools: [
          { name: 'upper', offset: 8 },
          { name: 'lower', offset: 1 },
        ],
      },
    );
    const at = (flowIn: number) => (s: number) => crossing(9000)(s) && { ...crossing(9000)(s), flowIn };
    expect(kindsOf(play({ plan: withPath, seconds: 400, at: at(1200) }))).not.toContain('pressure at connection');
    expect(kindsOf(play({ plan: withPath, seconds: 400, at: at(900) }))).toContain('pressure at connection');
  });
});

describe('short overlap', () => {
  const plan = planWith({ overlap: { min: 0.3 } });
  /** Rolled to 1017.2 m, lifted by a metre, lowered fast without pressure to `from`, and rolled on. */
  const again =
    (from: number, lift = 1) =>
    (s: number) => {
      const depth =
        s < 160
          ? ramp(s, 60, 160, 1015.2, 1017.2)
          : s < 200
            ? ramp(s, 160, 190, 1017.2, 1017.2 - lift)
            : s < 230
              ? ramp(s, 200, 220, 1017.2 - lift, from)
              : ramp(s, 230, 330, from, from + 2);
      return rolling(s, {
        bitDepth: toCm(depth),
        blockPosition: toCm(15 - (depth - 1015.2)),
        ...(s > 160 && s < 230 ? { standpipePressure: 500, torque: 4 } : {}),
      });
    };
  it('is said with both depths where the next sweep starts too near to where the last one ended', () => {
    const run = play({ plan, seconds: 340, at: again(1017.1) });
    const [event, ...others] = eventsOf(run, 'short overlap');
    expect(others).toEqual([]);
    expect(event).toMatchObject({ joint: 'S1' });
    expect(event!.depth).toBeCloseTo(1016.1, 1);
    const words = event!.detail as { value: number }[];
    expect(words[1]!.value).toBeCloseTo(1016.2, 1);
  });
  it('is said once for one start, however far below the minimum it is', () => {
    const wanted = planWith({ overlap: { min: 0.8 } });
    expect(eventsOf(play({ plan: wanted, seconds: 340, at: again(1016.7) }), 'short overlap')).toHaveLength(1);
  });
  it.each([
    ['swept again by enough', plan, again(1016.8)],
    ['no minimum in the plan', planWith({}), again(1017.1)],
    ['no break at all', plan, rolling],
    ['lifted by less than the readings of a lift', plan, again(1017.1, 0.1)],
  ])('is none: %s', (_what, given, at) => {
    expect(kindsOf(play({ plan: given, seconds: 340, at }))).not.toContain('short overlap');
  });
});
