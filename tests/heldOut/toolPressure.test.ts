/**
 * Pressure at the tool on runs that it was not made with: the rig of `toolPressureRig.ts`, whose friction is 15 % off in
 * either direction, at a frame a second and a frame in five.
 */
import { describe, expect, it } from 'vitest';
import type { EventName } from '../../src/events.ts';
import { advance, createRun, type Run } from '../../src/pipeline/run.ts';
import { toolPressureNow } from '../../src/pipeline/toolPressure.ts';
import { compileJob } from '../../src/plan/job.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { recordOf } from '../../src/record/record.ts';
import { random } from './rigScript.ts';
import {
  FACTS,
  type RigFacts,
  START_MS,
  type Step,
  THREE_RATES,
  type Told,
  tellRig,
  toolPlan,
} from './toolPressureRig.ts';

const START_DEPTH = 2410;
/** The lower tool is 1.6 m above the screen's part to be expanded, and a metre below its end. */
const BEFORE_SCREEN = 2440;
const AFTER_SCREEN = 2453.4;

function play(told: readonly Told[], plan: object = toolPlan(), each?: (run: Run, sample: Told) => void): Run {
  const run = createRun(compileJob(planSchema.parse(plan)));
  for (const sample of told) {
    advance(run, { kind: 'sample', sample });
    each?.(run, sample);
  }
  return run;
}

const kinds = (run: Run): EventName[] => run.events.events.map((event) => event.kind);
/** When an event was opened, ms: the sample after which it was there. */
function raisedAt(told: readonly Told[], kind: EventName, plan?: object): Told | undefined {
  let found: Told | undefined;
  play(told, plan, (run, sample) => {
    found ??= run.events.events.some((event) => event.kind === kind) ? sample : undefined;
  });
  return found;
}

/** Works a screen and an isolation joint as they come, with a stand connection between. */
function trip(flow: { screen: number; isolation: number }): Step[] {
  const connection: Step[] = [
    { seconds: 30, flow: 0, rpm: 0 },
    { seconds: 90, slips: true },
    { seconds: 10, slips: false },
  ];
  return [
    ...THREE_RATES,
    { seconds: 450, depth: BEFORE_SCREEN },
    { seconds: 40, flow: flow.screen },
    { seconds: 670, depth: AFTER_SCREEN },
    ...connection,
    { seconds: 60, flow: 300, rpm: 20 },
    { seconds: 360, depth: 2465.6 },
    { seconds: 40, flow: flow.isolation },
    { seconds: 560, depth: 2476.9 },
    { seconds: 40, flow: 0, rpm: 0 },
  ];
}

const FRICTIONS = [0.85, 1.15] as const;
const PERIODS = [1, 5] as const;
const GRID = FRICTIONS.flatMap((friction) =>
  PERIODS.flatMap((periodS) => [1.75, 1.85].map((exponent) => ({ friction, periodS, exponent }))),
);

describe('the losses, once the string has circulated free at three rates', () => {
  it.each(GRID)('friction $friction, exponent $exponent, a frame in $periodS s: within 3 %', (facts) => {
    const errors: number[] = [];
    const told = tellRig({ ...FACTS, ...facts, seed: 3 }, START_DEPTH, [
      ...THREE_RATES,
      ...[500, 900, 1150, 1250, 700].map((flow) => ({ seconds: 60, flow })),
    ]);
    const lastOf = new Map(told.map((sample, i) => [sample.step, i]));
    const run = play(told, toolPlan(), (now, sample) => {
      // The last half minute of each rate: pumps and gauges have settled.
      const left = told[lastOf.get(sample.step)!]!.sourceMs - sample.sourceMs;
      if (sample.step >= THREE_RATES.length && left < 30_000)
        errors.push(now.toolPressure.fromStandpipeKpa / sample.trueToolKpa - 1);
    });
    expect(errors.length).toBeGreaterThan(25);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.03);
    const now = toolPressureNow(run)!;
    expect(now.losses).toBe('calibrated');
    expect(now.calibration!.rates).toBeGreaterThanOrEqual(3);
    expect(kinds(run)).toEqual([]);
  });

  it('are the model before it, and the screen says so', () => {
    const run = play(tellRig({ ...FACTS, friction: 1.15 }, START_DEPTH, [{ seconds: 30 }, { seconds: 8, flow: 500 }]));
    expect(toolPressureNow(run)).toMatchObject({ losses: 'model', calibration: null });
  });
});

const ROLLING = { screen: 860, isolation: 1180 };

describe('a washout that grows to 15 % of flow', () => {
  const grown = (facts: Partial<RigFacts>, seconds: number): Told[] =>
    tellRig({ ...FACTS, ...facts }, START_DEPTH, [
      ...THREE_RATES,
      { seconds: 300, depth: BEFORE_SCREEN },
      { seconds: 120, flow: 860 },
      { seconds, leak: 0.15, depth: BEFORE_SCREEN + seconds / 60 },
    ]);

  it.each(GRID.flatMap((facts) => [180, 600].map((seconds) => ({ ...facts, seconds }))))(
    'in $seconds s: friction $friction, exponent $exponent, a frame in $periodS s: raised before 8 %',
    (one) => {
      const raised = raisedAt(grown(one, one.seconds), 'washout');
      expect(raised?.leak).toBeGreaterThan(0);
      expect(raised!.leak).toBeLessThan(0.08);
    },
  );

  it('without any calibration: against the first steady minutes', () => {
    const told = tellRig({ ...FACTS, friction: 1.15 }, 2441, [
      { seconds: 30, flow: 860, rpm: 20 },
      { seconds: 150 },
      { seconds: 600, leak: 0.15, depth: 2450 },
    ]);
    expect(raisedAt(told, 'washout')!.leak).toBeLessThan(0.08);
  });

  it('says both pressures, how far they are apart and since when; and stays one event over a stand connection', () => {
    const told = tellRig({ ...FACTS, friction: 1.15 }, START_DEPTH, [
      ...THREE_RATES,
      { seconds: 300, depth: BEFORE_SCREEN },
      { seconds: 120, flow: 860 },
      { seconds: 300, leak: 0.1, depth: 2443 },
      { seconds: 30, flow: 0, rpm: 0 },
      { seconds: 90, slips: true },
      { seconds: 10, slips: false },
      { seconds: 300, flow: 860, rpm: 20, depth: 2447 },
    ]);
    const run = play(told, toolPlan('standpipe'));
    const washouts = run.events.events.filter((event) => event.kind === 'washout');
    expect(washouts).toHaveLength(1);
    expect(washouts[0]).toMatchObject({ toMs: null, joint: 'B1' });
    const beganMs = told.find((sample) => sample.leak > 0)!.sourceMs;
    expect(Math.abs(washouts[0]!.fromMs - beganMs)).toBeLessThan(60_000);
    const record = recordOf(run, { frames: told.length, rejected: 0, reasons: {} });
    const detail = record.events.find((event) => event.kind === 'washout')!.detail;
    const words = /^at the tool (\d+) kPa from the standpipe and (\d+) kPa from flow, (\d+) % apart since [\d:]{8} UTC/;
    const [, standpipe, flow, apart] = words.exec(detail)!.map(Number);
    expect(apart).toBeGreaterThan(15);
    expect(apart).toBeLessThan(22);
    expect(standpipe! / flow!).toBeCloseTo(0.81, 1);
  });
});

describe('nozzles that plug', () => {
  it.each(GRID)('friction $friction, exponent $exponent, a frame in $periodS s: slowly or at once', (facts) => {
    const until: Step[] = [...THREE_RATES, { seconds: 300, depth: BEFORE_SCREEN }, { seconds: 120, flow: 860 }];
    const slowly = tellRig({ ...FACTS, ...facts }, START_DEPTH, [...until, { seconds: 300, open: 0.9 }]);
    const atOnce = tellRig({ ...FACTS, ...facts }, START_DEPTH, [
      ...until,
      { seconds: 2, open: 0.85 },
      { seconds: 120 },
    ]);
    for (const told of [slowly, atOnce]) {
      expect(raisedAt(told, 'plugging')).toBeDefined();
      const found = kinds(play(told, toolPlan('standpipe')));
      expect(found.filter((kind) => kind !== 'high pressure')).toEqual(['plugging']);
    }
  });
});

describe('the valve', () => {
  const GRID_AND_CALIBRATION = GRID.flatMap((facts) => [true, false].map((calibrated) => ({ ...facts, calibrated })));

  it.each(GRID_AND_CALIBRATION)(
    'does not shift: friction $friction, exponent $exponent, a frame in $periodS s, calibrated $calibrated: raised within 60 s',
    ({ calibrated, ...facts }) => {
      const told = tellRig({ ...FACTS, ...facts }, START_DEPTH, [
        ...(calibrated ? THREE_RATES : [{ seconds: 60, flow: 500, rpm: 20 }]),
        { seconds: 120, flow: 1250, valve: 'stuck' },
      ]);
      const last = told.at(-1)!.step;
      const above = told.find((sample) => sample.step === last && sample.flowIn > 1100)!;
      const raised = raisedAt(told, 'valve not shifted');
      expect(raised!.sourceMs - above.sourceMs).toBeLessThan(60_000);
      expect(kinds(play(told))).toEqual(['valve not shifted']);
    },
  );

  it.each(GRID)('does not go back: friction $friction, exponent $exponent, a frame in $periodS s', (facts) => {
    const told = tellRig({ ...FACTS, ...facts }, START_DEPTH, [
      ...THREE_RATES,
      { seconds: 60, flow: 1250 },
      { seconds: 60, flow: 0, valve: 'stuck' },
      { seconds: 90, flow: 700 },
    ]);
    const last = told.at(-1)!.step;
    const on = told.find((sample) => sample.step === last)!;
    expect(raisedAt(told, 'valve not reset')!.sourceMs - on.sourceMs).toBeLessThan(80_000);
    expect(kinds(play(told))).toEqual(['valve not reset']);
  });

  it('is left alone while it works, at flows about the one at which it shifts', () => {
    const flows = [900, 1080, 1120, 1060, 950, 1110, 0, 1080, 1150, 1000, 870, 1200, 300, 1090];
    const told = tellRig({ ...FACTS, friction: 1.15 }, START_DEPTH, [
      ...THREE_RATES,
      ...flows.map((flow) => ({ seconds: 90, flow })),
    ]);
    expect(kinds(play(told))).toEqual([]);
  });
});

describe('a pump that delivers less than its strokes say', () => {
  it.each(PERIODS)('is a mismatch, a frame in %i s', (periodS) => {
    const told = tellRig({ ...FACTS, periodS }, START_DEPTH, [
      ...THREE_RATES,
      { seconds: 120, flow: 800 },
      { seconds: 300, delivery: 0.8 },
    ]);
    const run = play(told);
    expect(kinds(run)).toEqual(['pump mismatch']);
  });

  it('is the flow where no flow is read', () => {
    const told = tellRig(FACTS, START_DEPTH, [...THREE_RATES, { seconds: 60, flow: 900 }]).map((sample) => {
      return { ...sample, flowIn: Number.NaN };
    });
    const run = play(told);
    expect(run.toolPressure.flow).toBeCloseTo(900, 0);
    expect(Math.abs(run.toolPressure.fromStandpipeKpa / told.at(-1)!.trueToolKpa - 1)).toBeLessThan(0.03);
  });
});

describe('a clean run', () => {
  const SEEDS = Array.from({ length: 24 }, (_, i) => i + 1);

  /** Friction, exponents, noise, nozzles and flows that nobody chose. */
  function drawn(seed: number): { facts: RigFacts; steps: Step[] } {
    const draw = random(seed + 900);
    const between = (from: number, to: number) => from + (to - from) * draw();
    const nozzles = seed % 3 === 0 ? between(0.75, 1.3) : 1;
    const facts: RigFacts = {
      friction: between(0.7, 1.3),
      exponent: between(1.7, 1.95),
      areaShare: { low: nozzles, high: nozzles },
      periodS: seed % 4 === 0 ? 5 : 1,
      seed,
      noise: { pressure: between(0.002, 0.01), kPa: between(2, 30), flow: between(0.002, 0.008) },
    };
    const steps = trip({ screen: between(800, 930) * nozzles, isolation: between(1120, 1250) });
    return { facts, steps: seed % 2 === 0 ? steps : steps.slice(THREE_RATES.length) };
  }

  it.each(SEEDS)('raises nothing, seed %i', (seed) => {
    const { facts, steps } = drawn(seed);
    // A plan without bounds: nozzles that are not the plan's make pressures that are not the recipe's.
    const plan = toolPlan('standpipe', {
      recipes: { isolation: { tools: ['upper'] }, screen: { tools: ['lower'] } },
    });
    expect(kinds(play(tellRig(facts, START_DEPTH, steps), plan))).toEqual([]);
  });
});

describe('a recipe that is judged at the tool', () => {
  it.each([
    { friction: 1.15, screen: 860 },
    { friction: 0.85, screen: 830 },
  ])('counts what the true pressure at the tool expanded: friction $friction', ({ friction, screen }) => {
    // In the middle of the screen the flow falls to where the standpipe still reads above the bound, and the tool does not.
    const steps: Step[] = [
      ...THREE_RATES,
      { seconds: 450, depth: BEFORE_SCREEN },
      { seconds: 40, flow: screen },
      { seconds: 240, depth: 2445 },
      { seconds: 150, flow: 760, depth: 2448 },
      { seconds: 270, flow: screen, depth: AFTER_SCREEN },
    ];
    const told = tellRig({ ...FACTS, friction, seed: 5 }, START_DEPTH, steps);
    const run = play(told);
    const record = recordOf(run, { frames: told.length, rejected: 0, reasons: {} });
    const joint = record.joints.find((one) => one.name === 'S1')!;
    const expanded = trulyExpandedM(told, 2440.6, 2451.4);
    expect(expanded).toBeLessThan(9);
    expect(expanded).toBeGreaterThan(7);
    expect(Math.abs(joint.expanded - expanded)).toBeLessThan(0.08);
    expect(joint.verdict).toBe('short');
    expect(record.toolPressure).toMatchObject({ losses: 'calibrated' });
    expect(kinds(run)).toEqual(['low pressure']);
    // By the standpipe alone the whole joint would pass.
    const atStandpipe = recordOf(play(told, toolPlan('standpipe')), { frames: 1, rejected: 0, reasons: {} });
    expect(atStandpipe.joints.find((one) => one.name === 'S1')!.expanded).toBeGreaterThan(10.5);
  });

  /** By millimetres: the tool goes forward, and the true pressure is at least 6,000 kPa at both ends of a step. */
  function trulyExpandedM(told: readonly Told[], from: number, to: number): number {
    const done = new Set<number>();
    told.slice(1).forEach((sample, i) => {
      const before = told[i]!;
      if (Math.min(sample.trueToolKpa, before.trueToolKpa) < 6000) return;
      const [a, b] = [before.bitDepth - 1, sample.bitDepth - 1].map((depth) => Math.round(depth * 1000)) as [
        number,
        number,
      ];
      for (let mm = Math.max(a, Math.round(from * 1000)); mm < Math.min(b, Math.round(to * 1000)); mm += 1)
        done.add(mm);
    });
    return done.size / 1000;
  }
});

describe('what is not known', () => {
  it('is not guessed: no flow and no strokes, no dials, no string', () => {
    const told = tellRig(FACTS, START_DEPTH, [{ seconds: 60, flow: 900 }]);
    const blind = told.map((sample) => ({ ...sample, flowIn: Number.NaN, strokeRate1: Number.NaN }));
    expect(play(blind).toolPressure.fromStandpipeKpa).toBeNaN();
    for (const change of [{ fluid: { density: 1180 } }, { fluid: undefined }, { string: undefined }]) {
      const run = play(told, toolPlan('standpipe', change));
      expect(run.toolPressure.fromStandpipeKpa).toBeNaN();
      expect(toolPressureNow(run)?.losses ?? 'none').toBe('none');
    }
  });

  it('the start of the told stream is what the rest refers to', () => {
    expect(tellRig(FACTS, START_DEPTH, [{ seconds: 10 }])[0]!.sourceMs).toBeGreaterThan(START_MS);
    expect(kinds(play(tellRig(FACTS, START_DEPTH, trip(ROLLING))))).toEqual([]);
  });
});
