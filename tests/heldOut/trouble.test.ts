/**
 * Trouble on trips that the pipeline was not tried on while it was made, bytes in, record out: what the plan limits is found
 * on the right joint within 45 s and its on-delay, and a clean trip with every limit given raises nothing. Magnitudes are
 * common practice.
 */
import { describe, expect, it } from 'vitest';
import { EVENTS, type EventName } from '../../src/events.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { trip as simulated, testPlan } from '../support/trips.ts';
import { analyseBytes, analyseTrip } from './analyseTrip.ts';
import type { Driller } from './driller.ts';
import { axialStall, on, rotationalStall } from './incidents.ts';
import { START_MS, type StreamOptions } from './rigStream.ts';
import { build, type Case, type Trip } from './rigTrip.ts';

/** Every limit that raises an event of its own. */
const LIMITS = {
  stall: { feed: 0.05, seconds: 30 },
  hookload: { max: 1200 },
  overpull: { max: 100 },
  setDown: { max: 110 },
  dwell: { seconds: 240 },
  stationary: { seconds: 1200 },
  overlap: { min: 0.1 },
  atConnection: { pressure: 3500 },
  tanks: { gain: 1, loss: 1 },
  flowDifference: { share: 0.1 },
  stickSlip: { share: 0.3 },
};

/** The active tank (26) and flow out in litres a minute by a sensor that is 13 % off (29). */
const well =
  (out: (t: number) => number = () => 1, tank: (t: number) => number = () => 0): NonNullable<StreamOptions['beside']> =>
  (t, v, noise) => [
    `0126${(62 + tank(t) + 0.05 * noise()).toFixed(2)}`,
    `0129${Math.max(0, 1.13 * v.flow * out(t) * (1 + 0.01 * noise())).toFixed(0)}`,
  ];

function withLimits(one: Case, seed = 1): Trip {
  // The pressure is let off between the joints, and a sweep starts a hand's breadth above the part.
  const trip = build({ ...one, manner: { between: 'off', pickUp: 1, outOfSlips: 0.6, ...one.manner } }, seed);
  Object.assign(trip.layout.plan, { limits: { ...LIMITS, atConnection: undefined } });
  return trip;
}

const secondOf = (at: string): number => (Date.parse(at) - START_MS) / 1000;
const kindsOf = (record: RunRecord): string[] => record.events.map((event) => event.kind);

interface Found {
  kind: EventName;
  joint: string | null;
  at: number;
}

function expectFound(record: RunRecord, { kind, joint, at }: Found): RunRecord['events'][number] {
  const events = record.events.filter((event) => event.kind === kind);
  const said = record.events.map((event) => `${event.kind} on ${event.joint} at ${secondOf(event.from)} s`).join(', ');
  expect(
    events.map((event) => event.joint),
    `${kind} at ${at} s; found ${said}`,
  ).toEqual([joint]);
  expect(Math.abs(secondOf(events[0]!.from) - at), said).toBeLessThanOrEqual(45 + EVENTS[kind].onDelayMs / 1000);
  return events[0]!;
}

/** Puts an act on the way and tells when it happened. */
function when(
  name: string,
  metres: number,
  act: (d: Driller) => void,
): { plan: (d: Driller) => void; at: () => number } {
  let at = Number.NaN;
  return {
    plan: on(name, metres, (d) => {
      at = d.script.t;
      act(d);
    }),
    at: () => at,
  };
}

describe('trouble is found', () => {
  it.each([
    ['axial', axialStall(100)],
    ['rotational', rotationalStall(90)],
  ] as const)('a stall, and that it is %s', async (form, act) => {
    const it_ = when('S5', 4, act);
    const record = await analyseTrip(withLimits({ plan: it_.plan }));
    expect(expectFound(record, { kind: 'stall', joint: 'S5', at: it_.at() })).toMatchObject({ form });
  });

  it('a dwell that is too long', async () => {
    const it_ = when('S4', 5, (d) => d.standStill(300));
    const record = await analyseTrip(withLimits({ plan: it_.plan }));
    expectFound(record, { kind: 'long dwell', joint: 'S4', at: it_.at() });
  });

  it('an overlap that is too short, after a stand connection', async () => {
    const it_ = when('S5', 5, (d) => {
      const at = d.script.now.depth;
      d.script.quietly(() => {
        d.stopAll();
        d.script.run(at - 1, 6, { hook: d.weight + d.drag }, { hook: 3 });
        d.script.run(at + 0.2, 6, { hook: d.weight - d.drag }, { hook: 3 });
        d.pumps(d.manner.screenKpa);
        d.startTurning();
      });
    });
    const record = await analyseTrip(withLimits({ plan: it_.plan }));
    expectFound(record, { kind: 'short overlap', joint: 'S5', at: it_.at() });
  });

  it('an overpull above the free up-weight of this run', async () => {
    const it_ = when('S5', 5, (d) => {
      const at = d.script.now.depth;
      d.script.quietly(() => {
        d.stopAll();
        d.script.run(at - 4, 3, { hook: d.weight + d.drag }, { hook: 3 });
        d.script.go(10, { hook: d.weight + d.drag + 150 });
        d.script.go(30, {});
        d.script.go(5, { hook: d.weight });
        d.script.run(at - 0.3, 6, { hook: d.weight - d.drag }, { hook: 3 });
        d.pumps(d.manner.screenKpa);
        d.startTurning();
      });
    });
    const record = await analyseTrip(withLimits({ plan: it_.plan }));
    expect(kindsOf(record).filter((kind) => kind === 'overpull')).toHaveLength(1);
  });

  it('losses by flow out, and gains by the tank', async () => {
    const fall = (t: number) => (t > 1500 ? 0.8 : 1);
    const lost = await analyseTrip(withLimits({ stream: { beside: well(fall) } }));
    expect(kindsOf(lost)).toContain('losses');
    expect(kindsOf(lost)).not.toContain('gain');
    const rise = (t: number) => Math.max(0, Math.min(4, (t - 1500) / 100));
    const gained = await analyseTrip(withLimits({ stream: { beside: well(undefined, rise) } }));
    expect(kindsOf(gained)).toContain('gain');
    expect(kindsOf(gained)).not.toContain('losses');
  });

  it('high feed per turn, with its gap', async () => {
    const it_ = when('S5', 3, (d) => {
      d.script.run(d.script.now.depth + 2, d.feed, { rpm: 16 }, { rpm: 4 });
      d.script.run(d.script.now.depth + 0.1, d.feed, { rpm: d.manner.rpm }, { rpm: 4 });
    });
    const trip = withLimits({ plan: it_.plan });
    const plan = trip.layout.plan as { recipes: { screen: { feedPerTurn?: { max: number } } } };
    plan.recipes.screen.feedPerTurn = { max: 45 };
    const record = await analyseTrip(trip);
    expectFound(record, { kind: 'high feed per turn', joint: 'S5', at: it_.at() });
    const gaps = record.joints.find((joint) => joint.name === 'S5')!.gaps;
    expect(gaps.map((gap) => gap.cause)).toContain('high feed per turn');
  });
});

describe('pressure kept over the threaded connections', () => {
  const kept = (crossing: 'pressure off' | 'pressure kept') => {
    const plan = { ...testPlan(), limits: LIMITS };
    return simulated(3, plan, { driller: { crossing } });
  };
  it('is found on the joint that it began on, and not where it was taken off', async () => {
    const bad = await analyseBytes(kept('pressure kept').plan, kept('pressure kept').bytes);
    expect(bad.events.map(({ kind, joint }) => [kind, joint])).toEqual([['pressure at connection', 'S1']]);
    const good = await analyseBytes(kept('pressure off').plan, kept('pressure off').bytes);
    expect(good.events).toEqual([]);
  });
});

describe('a clean trip with every limit given raises nothing', () => {
  const seeds = Array.from({ length: 20 }, (_, i) => i + 1);
  it.each(seeds)('simulated, tanks and flow out sent, seed %i', async (seed) => {
    const plan = { ...testPlan(), limits: LIMITS };
    const { bytes } = simulated(seed, plan, { stream: { record5: true, record11: true } });
    expect((await analyseBytes(plan, bytes)).events).toEqual([]);
  });
  it.each([101, 102, 103, 104, 105, 106])('held out, tanks and flow out sent, seed %i', async (seed) => {
    const record = await analyseTrip(withLimits({ stream: { beside: well() } }, seed));
    expect(record.events).toEqual([]);
  });
  it.each([111, 112])('held out, channels of zeros, seed %i', async (seed) => {
    const zeros = () => ['01260.00', '01280', '01290'];
    const record = await analyseTrip(withLimits({ stream: { beside: zeros } }, seed));
    expect(record.events).toEqual([]);
  });
});
