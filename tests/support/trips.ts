/** Ready-made simulated trips for the tests: each a function of a seed, each with its plan, its bytes and the truth. */
import { spoil, USUAL_DIRT } from '../../ingest/simulator/dirt.ts';
import { seededRandom } from '../../ingest/simulator/random.ts';
import {
  type IncidentInput,
  type Scenario,
  type ScenarioInput,
  scenarioSchema,
} from '../../ingest/simulator/scenario.ts';
import type { Truth } from '../../ingest/simulator/simulateTrip.ts';
import { streamBytes, streamTrip } from '../../ingest/simulator/tripStream.ts';
import { type ExpandedKind, type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { converter, type Quantity } from '../../src/units.ts';

export interface TestTrip {
  readonly plan: Plan;
  readonly bytes: Uint8Array;
  readonly truth: Truth;
}

export const RECIPES = {
  isolation: {
    tools: ['upper'],
    pressure: { at: 'standpipe', min: 16000, max: 22000 },
    rpm: { min: 15 },
    feed: { max: 1.5 },
    torque: { max: 16 },
  },
  screen: {
    tools: ['lower'],
    pressure: { at: 'standpipe', min: 7500, max: 11000 },
    rpm: { min: 15 },
    feed: { max: 2 },
    torque: { max: 12 },
  },
} as const;

/** Six joints, something of every kind, 26.4 m to be expanded. */
export function testPlan(): Plan {
  return planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    job: { well: 'Test 1', rig: 'Rig A' },
    stream: { units: 'metric', utcOffset: '+00:00', nulls: [-999.25, -9999, -8888], gapAfter: 5 },
    liner: {
      top: 2410,
      joints: [
        { name: 'HG', kind: 'hanger', length: 9.2 },
        { name: 'Z1', kind: 'isolation', length: 7.4, expandFrom: 0.9, expandTo: 6.5, zone: 'A' },
        { name: 'B1', kind: 'blank', length: 11.9 },
        { name: 'S1', kind: 'screen', length: 11.6, expandFrom: 0.6, expandTo: 11.1, zone: 'A' },
        { name: 'S2', kind: 'screen', length: 11.4, expandFrom: 0.6, expandTo: 10.9, zone: 'A' },
        { name: 'SH', kind: 'shoe', length: 1.1 },
      ],
    },
    tools: [
      { name: 'upper', offset: 5.4 },
      { name: 'lower', offset: 1.1 },
    ],
    recipes: RECIPES,
    acceptance: { coverage: 0.97, longestGap: 0.3 },
    limits: { stall: { feed: 0.05, seconds: 30 } },
    surface: { blockWeight: 180 },
  });
}

export function testScenario(seed: number, input: Partial<ScenarioInput> = {}): Scenario {
  return scenarioSchema.parse({
    format: 'jointwise-scenario/1',
    units: 'metric',
    plan: 'plan.json',
    seed,
    startAt: '2031-03-04T00:00:00Z',
    ...input,
  });
}

export function trip(seed: number, plan: Plan, input: Partial<ScenarioInput> = {}): TestTrip {
  const { frames, truth } = streamTrip(testScenario(seed, input), plan);
  return { plan, bytes: streamBytes(frames), truth };
}

export const clean1Hz = (seed: number): TestTrip => trip(seed, testPlan());

/** Field units throughout: end depth to 0.1 ft, block to 0.01 ft. */
export const clean1HzField = (seed: number): TestTrip =>
  trip(seed, fieldPlan(), { stream: { depthResolution: '0.1 ft', blockResolution: '0.01 ft' } });

/** A frame in five seconds, end depth to 0.1 m, block to 0.01 m. */
export const clean5s = (seed: number): TestTrip =>
  trip(seed, slowPlan(), { stream: { framePeriod: 5, depthResolution: '0.1 m' } });

/** A frame in five seconds, end depth and block to 0.1 m. */
export const clean5sCoarse = (seed: number): TestTrip =>
  trip(seed, slowPlan(), { stream: { framePeriod: 5, depthResolution: '0.1 m', blockResolution: '0.1 m' } });

/** The same trip with records 5 (in-slips flag) and 11 beside record 1. */
export const clean1HzWithRecords = (seed: number): TestTrip =>
  trip(seed, testPlan(), { stream: { record5: true, record11: true } });

/** The pressure is kept over the threaded connections between screens. */
export const pressureKept = (seed: number): TestTrip =>
  trip(seed, testPlan(), { driller: { crossing: 'pressure kept' } });

/** All the usual dirt; the encoder wraps only while nothing is being expanded. */
export const dirty1Hz = (seed: number): TestTrip => dirtyTrip(seed, 'not while expanding');
/** The encoder wraps while a joint is being expanded. */
export const dirtyWrapWhileExpanding = (seed: number): TestTrip => dirtyTrip(seed, 'while expanding');

function dirtyTrip(
  seed: number,
  wrapsAre: 'while expanding' | 'not while expanding',
  input: Partial<ScenarioInput> = {},
): TestTrip {
  const plan = testPlan();
  const { frames, truth } = streamTrip(testScenario(seed, input), plan);
  const expandsIn = (fromMs: number, toMs: number): boolean =>
    truth.phases.some((p) => p.phase.startsWith('expanding') && p.fromMs < toMs && p.toMs > fromMs);
  const wholly = (fromMs: number, toMs: number): boolean =>
    truth.phases.some((p) => p.phase.startsWith('expanding') && p.fromMs <= fromMs && p.toMs >= toMs);
  const mayWrap = (fromMs: number, toMs: number): boolean =>
    wrapsAre === 'while expanding' ? wholly(fromMs, toMs) : !expandsIn(fromMs, toMs);
  const spoilt = spoil(frames, seed, USUAL_DIRT, { perMetre: 1, mayWrap });
  return { plan, bytes: streamBytes(spoilt), truth };
}

export const INCIDENTS = {
  stall: { kind: 'stall', joint: 'S1', into: 6, seconds: 60 },
  'low pressure': { kind: 'low pressure', joint: 'S1', into: 6, metres: 2 },
  'low pressure repaired': { kind: 'low pressure', joint: 'S1', into: 6, metres: 2, repaired: true },
  'low pressure on an isolation joint': { kind: 'low pressure', joint: 'Z1', into: 2, metres: 1.5 },
  'high pressure': { kind: 'high pressure', joint: 'S1', into: 6, metres: 1 },
  'rotation lost': { kind: 'rotation lost', joint: 'S2', into: 3, metres: 1 },
  'fast feed': { kind: 'fast feed', joint: 'S2', into: 3, metres: 2 },
  'data gap': { kind: 'data gap', joint: 'S2', into: 3, seconds: 40 },
} as const satisfies Record<string, IncidentInput>;
export type IncidentName = keyof typeof INCIDENTS;
export const INCIDENT_NAMES = Object.keys(INCIDENTS) as IncidentName[];

/** A clean stream of a trip on which one thing goes wrong. */
export const withIncident = (seed: number, name: IncidentName): TestTrip =>
  trip(seed, testPlan(), { incidents: [INCIDENTS[name]] });

/** The same at a frame in five seconds with the end depth to 0.1 m. */
export const withIncident5s = (seed: number, name: IncidentName): TestTrip =>
  trip(seed, slowPlan(), { incidents: [INCIDENTS[name]], stream: { framePeriod: 5, depthResolution: '0.1 m' } });

/** The same spoilt in all the usual ways. */
export const withIncidentDirty = (seed: number, name: IncidentName): TestTrip =>
  dirtyTrip(seed, 'not while expanding', { incidents: [INCIDENTS[name]] });

/** The plan does not say what the block weighs. */
export function unknownBlockWeight(seed: number): TestTrip {
  const { surface: _, ...plan } = testPlan();
  return trip(seed, plan, { rig: { blockWeight: 240 } });
}

/** A rig whose every other number is unlike the test plan's own: short stands, noisy sensors, slow feed and fast travel. */
export const otherRig = (seed: number): TestTrip =>
  trip(seed, testPlan(), {
    noise: 2,
    driller: { feed: { isolation: 0.6, screen: 0.8 }, rpm: { isolation: 40, screen: 45 }, travelSpeed: 9 },
    rig: { blockStart: 9, standLength: 18.6, blockLow: 1.2 },
  });

/** A liner of many screens; with stand connections 11.9 minutes a joint, so 363 of them take 72 h. */
export function longPlan(joints: number): Plan {
  const plan = testPlan();
  const screen = plan.liner.joints[3]!;
  const screens = Array.from({ length: joints }, (_, i) => ({ ...screen, name: `S${i + 1}` }));
  return { ...plan, liner: { ...plan.liner, joints: screens } };
}

/** An isolation joint with a screen right below it: the lower tool has run ahead into the screen and must go back. */
export function isolationThenScreen(seed: number): TestTrip {
  const plan = testPlan();
  const joints = plan.liner.joints.filter((joint) => joint.kind !== 'blank');
  return trip(seed, { ...plan, liner: { ...plan.liner, joints } });
}

function slowPlan(): Plan {
  const plan = testPlan();
  return { ...plan, stream: { ...plan.stream!, gapAfter: 15 } };
}

/** The test plan with every number in the field system. */
export function fieldPlan(): Plan {
  const plan = testPlan();
  const metric = converter('metric');
  const field = converter('field');
  const to = (quantity: Quantity, value: number): number =>
    Math.round(field.out(quantity, metric.in(quantity, value)) * 1e6) / 1e6;
  const recipe = (from: (typeof RECIPES)[ExpandedKind]) => ({
    tools: [...from.tools],
    pressure: {
      at: 'standpipe' as const,
      min: to('pressure', from.pressure.min),
      max: to('pressure', from.pressure.max),
    },
    rpm: from.rpm,
    feed: { max: to('feed', from.feed.max) },
    torque: { max: to('torque', from.torque.max) },
  });
  return {
    ...plan,
    units: 'field',
    stream: { ...plan.stream!, units: 'field' },
    liner: {
      top: to('length', plan.liner.top),
      joints: plan.liner.joints.map((joint) => ({
        ...joint,
        length: to('length', joint.length),
        ...(joint.expandFrom !== undefined && { expandFrom: to('length', joint.expandFrom) }),
        ...(joint.expandTo !== undefined && { expandTo: to('length', joint.expandTo) }),
      })),
    },
    tools: plan.tools.map((tool) => ({ ...tool, offset: to('length', tool.offset) })),
    recipes: { isolation: recipe(RECIPES.isolation), screen: recipe(RECIPES.screen) },
    acceptance: { coverage: 0.97, longestGap: to('length', 0.3) },
    limits: { stall: { feed: to('feed', 0.05), seconds: 30 } },
    surface: { blockWeight: to('force', 180) },
  };
}

/** A plan that nobody drew up: joints, lengths, offsets and windows from the seed. */
export function randomPlan(seed: number): Plan {
  const random = seededRandom(seed);
  const metres = (low: number, high: number): number => Math.round(random.between(low, high) * 100) / 100;
  const count = random.whole(4, 8);
  const joints = Array.from({ length: count }, (_, i) => {
    // Something of each kind to be expanded, whatever the seed.
    const kind = i === 0 ? 'isolation' : i === 1 ? 'screen' : random.pick(['isolation', 'screen', 'blank'] as const);
    const length = metres(5, 13);
    const keepOut = { expandFrom: metres(0.3, 1), expandTo: Math.round((length - metres(0.3, 1)) * 100) / 100 };
    return { name: `J${i + 1}`, kind, length, ...(kind !== 'blank' && keepOut) };
  });
  if (random.chance(0.5)) joints.reverse();
  const lower = metres(0.5, 2);
  const screenMin = random.whole(60, 85) * 100;
  const isolationMin = random.whole(140, 180) * 100;
  const plan = testPlan();
  return {
    ...plan,
    liner: {
      top: metres(800, 3500),
      joints: [
        { name: 'HG', kind: 'hanger', length: metres(6, 10) },
        ...joints,
        { name: 'SH', kind: 'shoe', length: 1 },
      ],
    },
    tools: [
      { name: 'upper', offset: Math.round((lower + random.between(2, 7)) * 100) / 100 },
      { name: 'lower', offset: lower },
    ],
    recipes: {
      isolation: {
        ...plan.recipes.isolation!,
        pressure: { at: 'standpipe', min: isolationMin, max: isolationMin + 6000 },
      },
      screen: { ...plan.recipes.screen!, pressure: { at: 'standpipe', min: screenMin, max: screenMin + 3500 } },
    },
  };
}

export const randomTrip = (seed: number): TestTrip => {
  const random = seededRandom(seed + 1_000_003);
  return trip(seed, randomPlan(seed), {
    driller: {
      feed: { isolation: random.between(0.7, 1.2), screen: random.between(0.8, 1.5) },
      crossing: random.pick(['pressure off', 'pressure kept'] as const),
    },
    rig: { blockStart: random.between(8, 30), standLength: random.between(27, 29) },
  });
};
