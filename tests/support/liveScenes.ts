/** Moments of an invented job as the service would tell them, to look at the page and to test it. */

import type { EventState, JointState, Now, SnapshotMessage } from '../../src/live/messages.ts';
import { compileJob, type Job } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import type { Step } from '../../src/steps.ts';

const isolation = { kind: 'isolation', length: 7.4, expandFrom: 0.9, expandTo: 6.5 } as const;
const screen = { kind: 'screen', length: 11.6, expandFrom: 0.6, expandTo: 11.1 } as const;

export const SCENE_PLAN: Plan = planSchema.parse({
  format: 'jointwise-plan/1',
  units: 'metric',
  job: { well: 'Invented 7', rig: 'Test rig' },
  stream: { units: 'metric', utcOffset: '+01:00', gapAfter: 5 },
  liner: {
    top: 2410,
    joints: [
      { name: 'HG', kind: 'hanger', length: 9.2 },
      { name: 'Z1', ...isolation, zone: 'A' },
      { name: 'B1', kind: 'blank', length: 11.9 },
      { name: 'S1', ...screen, zone: 'A' },
      { name: 'S2', ...screen, zone: 'A' },
      { name: 'S3', ...screen, zone: 'A' },
      { name: 'Z2', ...isolation, zone: 'B' },
      { name: 'B2', kind: 'blank', length: 11.9 },
      { name: 'S4', ...screen, zone: 'B' },
      { name: 'S5', ...screen, zone: 'B' },
      { name: 'Z3', ...isolation, zone: 'B' },
      { name: 'SH', kind: 'shoe', length: 3.2 },
    ],
  },
  tools: [
    { name: 'upper', offset: 5.4 },
    { name: 'lower', offset: 1.1 },
  ],
  recipes: {
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
  },
  acceptance: { coverage: 0.97, longestGap: 0.3 },
  limits: { stall: { feed: 0.05, seconds: 30 } },
});
export const SCENE_JOB: Job = compileJob(SCENE_PLAN);

/** The same job with its recipes judged at the tool, and what that needs. */
export const TOOL_PLAN: Plan = planSchema.parse({
  ...SCENE_PLAN,
  recipes: {
    isolation: {
      ...SCENE_PLAN.recipes.isolation,
      pressure: { at: 'tool', min: 14000, max: 19000 },
    },
    screen: {
      ...SCENE_PLAN.recipes.screen,
      pressure: { at: 'tool', min: 6500, max: 9500 },
      feedPerTurn: { max: 45 },
    },
  },
  fluid: { density: 1180, dials: { '600': 38, '300': 24, '6': 4, '3': 3 } },
  string: [{ name: 'drill pipe', length: 2500, od: 127, id: 108.6, mass: 31 }],
  flowPath: { shiftsAt: 1100, dischargeCoefficient: 0.95, low: { area: 140 }, high: { area: 117 } },
  depthTag: { depth: 2421.1, tool: 'upper', setDown: { min: 40 }, window: 5 },
});

/** Rig time of the scenes: any will do. */
export const SCENE_START_MS = Date.UTC(2031, 2, 4, 12, 30, 0);

const UNTOUCHED = {
  expanded: [],
  unproven: [],
  gaps: [],
  expandedM: 0,
  sigmaM: 0,
  couldBe: [],
  unprovenM: 0,
  coverage: 0,
  pressure: null,
  feedMean: null,
  passes: 0,
  stalls: 0,
  minutes: 0,
};

export function untouched(index: number): JointState {
  const { requiredM } = SCENE_JOB.joints[index]!;
  return {
    ...UNTOUCHED,
    index,
    longestGap: requiredM,
    verdict: requiredM > 0 ? 'not reached' : 'not planned',
  };
}

/** A joint swept down to `depth`, with gaps and unproven stretches given as metres below the start of the required part. */
export function swept(
  index: number,
  depth: number,
  gap?: { from: number; to: number; cause: JointState['gaps'][number]['cause'] },
  unproven?: readonly [number, number],
): JointState {
  const { from, to, requiredM, kind } = SCENE_JOB.joints[index]!;
  const reached = Math.min(to, depth);
  const holes = [
    gap && ([from + gap.from, from + gap.to] as const),
    unproven && ([from + unproven[0], from + unproven[1]] as const),
  ]
    .filter((hole) => hole !== undefined)
    .sort((a, b) => a[0] - b[0]);
  const expanded: [number, number][] = [];
  let at = from;
  for (const [a, b] of holes) {
    expanded.push([at, a]);
    at = b;
  }
  expanded.push([at, reached]);
  const expandedM = expanded.reduce((sum, [a, b]) => sum + b - a, 0);
  const base = kind === 'isolation' ? 18_900 : 9_120;
  const longest = Math.max(0, to - reached, ...holes.map(([a, b]) => b - a));
  return {
    ...untouched(index),
    expanded,
    expandedM,
    sigmaM: 0.03,
    coverage: expandedM / requiredM,
    gaps: [
      ...(gap ? [{ from: from + gap.from, to: from + gap.to, cause: gap.cause }] : []),
      ...(reached < to ? [{ from: reached, to, cause: 'not reached' as const }] : []),
    ],
    unproven: unproven ? [[from + unproven[0], from + unproven[1]]] : [],
    unprovenM: unproven ? unproven[1] - unproven[0] : 0,
    longestGap: longest,
    pressure: { min: base - (gap ? 2_900 : 310), mean: base, max: base + 420 },
    feedMean: 1.18,
    passes: 1,
    minutes: (reached - from) / 1.18,
    verdict: reached < to ? 'in progress' : gap ? 'short' : unproven ? 'unproven' : 'expanded',
  };
}

const NO_BOUNDS: Now['bounds'] = {
  recipe: null,
  pressureAt: 'standpipe',
  pressureMin: null,
  pressureMax: null,
  rpmMin: null,
  feedMax: null,
  feedPerTurnMax: null,
  torqueMax: null,
};
export const SCREEN_BOUNDS: Now['bounds'] = {
  recipe: 'screen',
  pressureAt: 'standpipe',
  pressureMin: 7500,
  pressureMax: 11_000,
  rpmMin: 15,
  feedMax: 2,
  feedPerTurnMax: null,
  torqueMax: 12,
};

/** Expanding S3 with the lower tool at `depth`; whatever else is given stands instead. */
export function nowAt(depth: number, other: Partial<Now> = {}): Now {
  return {
    sourceMs: SCENE_START_MS,
    arrivalMs: Date.now(),
    phase: 'expanding screen',
    phaseSinceMs: SCENE_START_MS - 240_000,
    joint: 5,
    tool: 1,
    judgement: { state: 'good', causes: [] },
    endDepth: depth + 1.1,
    blockPosition: 14.2,
    toolDepths: [depth - 4.3, depth],
    depthCorrection: 0,
    feed: 1.24,
    standpipePressure: 9140,
    bounds: SCREEN_BOUNDS,
    rotation: 31,
    torque: 7.6,
    hookload: 792,
    setDown: 24,
    torqueOnTool: 3.1,
    feedPerTurn: 0.04,
    toolPressure: null,
    depthAtTool: { sigma: 0.06, stretch: 0, corrected: 'not corrected', offer: null },
    finish: { joint: null, trip: null },
    flowIn: 905,
    inSlips: false,
    expandedM: 31.2,
    requiredM: SCENE_JOB.requiredM,
    connections: 2,
    ...other,
  };
}

export const JOINTS_AT_S3 = (depth: number): JointState[] =>
  SCENE_JOB.joints.map(({ index }) => {
    if (index === 1) return swept(index, Number.POSITIVE_INFINITY);
    if (index === 3) return swept(index, Number.POSITIVE_INFINITY, undefined, [6.2, 7.5]);
    if (index === 4) return swept(index, Number.POSITIVE_INFINITY, { from: 3.1, to: 5.1, cause: 'low pressure' });
    if (index === 5) return swept(index, depth);
    return untouched(index);
  });

export const event = (id: number, other: Partial<EventState>): EventState => ({
  id,
  kind: 'low pressure',
  priority: 'high',
  joint: 'S3',
  depth: 2470.4,
  fromMs: SCENE_START_MS - 42_000,
  toMs: null,
  detail: '',
  ...other,
});

export const PAST_EVENTS: readonly EventState[] = [
  event(1, {
    kind: 'data gap',
    priority: 'medium',
    joint: 'S1',
    depth: 2445.3,
    fromMs: SCENE_START_MS - 2_400_000,
    toMs: SCENE_START_MS - 2_360_000,
  }),
  event(2, { joint: 'S2', depth: 2453.8, fromMs: SCENE_START_MS - 1_200_000, toMs: SCENE_START_MS - 1_090_000 }),
];

/** Pressure known at the tool, twice; calibrated at 13:02 on the rig's clock, 12:02 UTC. */
export const TOOL_PRESSURE: NonNullable<Now['toolPressure']> = {
  fromStandpipe: 7320,
  fromFlow: 7410,
  sigma: 110,
  losses: 'calibrated',
  path: 'low',
  calibration: {
    points: 164,
    rates: 3,
    scatter: 0.013,
    flowMin: 420,
    flowMax: 960,
    fromMs: SCENE_START_MS - 3_000_000,
    toMs: Date.UTC(2031, 2, 4, 12, 2, 0),
  },
};

export const TOOL_BOUNDS: Now['bounds'] = {
  ...SCREEN_BOUNDS,
  pressureAt: 'tool',
  pressureMin: 6500,
  pressureMax: 9500,
  feedPerTurnMax: 0.045,
};

/** The upper tool's contact as it is shown, and where the shear device is: 1.8 m apart. */
export const OFFER: NonNullable<Now['depthAtTool']['offer']> = {
  step: 7,
  atMs: SCENE_START_MS - 40_000,
  tool: 0,
  shown: 2422.9,
  tagged: 2421.1,
  setDown: 52,
};

const kpa = (value: number) => ({ quantity: 'pressure', value, decimals: 0 }) as const;
const percent = (value: number) => ({ quantity: 'fraction', value, decimals: 1 }) as const;
const step = (id: number, minutesAgo: number, other: Partial<Step>): Step => ({
  id,
  kind: 'pressure step',
  name: '',
  fromMs: SCENE_START_MS - minutesAgo * 60_000,
  toMs: SCENE_START_MS - minutesAgo * 60_000 + 400_000,
  outcome: 'passed',
  detail: '',
  numbers: [],
  ...other,
});

export const STEPS: readonly Step[] = [
  step(1, 190, {
    kind: 'ball',
    name: 'setting ball',
    detail: 'on its seat',
    numbers: [
      { name: 'pumped', value: { quantity: 'volume', value: 21.7, decimals: 1 } },
      { name: 'expected', value: { quantity: 'volume', value: 21.845, decimals: 1 } },
    ],
  }),
  step(2, 150, {
    name: 'slips',
    detail: ['held at ', kpa(10_400)],
    numbers: [
      { name: 'wanted', value: kpa(10_300) },
      { name: 'decline', value: percent(0.8) },
    ],
  }),
  step(3, 120, {
    kind: 'push and pull',
    outcome: 'failed',
    detail: 'more movement than the string stretches',
    numbers: [
      { name: 'pull', value: { quantity: 'force', value: 210, decimals: 0 } },
      { name: 'left over', value: { quantity: 'length', value: 0.14, decimals: 2 } },
    ],
  }),
  step(4, 100, { kind: 'release', outcome: 'not proven', detail: 'up-weight not read since' }),
];
export const OPEN_TEST: Step = step(5, 6, {
  kind: 'annulus test',
  toMs: null,
  outcome: 'open',
  detail: ['holding ', kpa(6900), ', 6 of 10 min'],
  numbers: [{ name: 'decline so far', value: percent(1.4) }],
});

const atTool = (depth: number, other: Partial<Now> = {}): Now =>
  nowAt(depth, {
    standpipePressure: 9140,
    toolPressure: TOOL_PRESSURE,
    bounds: TOOL_BOUNDS,
    depthAtTool: { sigma: 0.06, stretch: 0.12, corrected: 'by the tag', offer: null },
    finish: {
      joint: { fromMs: SCENE_START_MS + 540_000, toMs: SCENE_START_MS + 1_080_000 },
      trip: { fromMs: SCENE_START_MS + 19_000_000, toMs: SCENE_START_MS + 43_000_000 },
    },
    ...other,
  });

export interface Scene {
  readonly now: Now | null;
  readonly joints: JointState[];
  readonly events: readonly EventState[];
  readonly steps?: readonly Step[];
  readonly plan?: Plan;
  readonly rate?: number;
  readonly link?: SnapshotMessage['ingest']['link'];
  readonly recording?: SnapshotMessage['ingest']['recording'];
}

const S3_M = 2467.9;
const stallDepth = 2468.66;

/** By the name under which a picture of it is kept. Made when asked for, so that the arrival time is fresh. */
export const SCENES: Readonly<Record<string, () => Scene>> = {
  good: () => ({ now: nowAt(S3_M), joints: JOINTS_AT_S3(S3_M), events: PAST_EVENTS, rate: 20 }),
  'low pressure': () => ({
    now: nowAt(S3_M, { standpipePressure: 5980, judgement: { state: 'bad', causes: ['low pressure'] } }),
    joints: JOINTS_AT_S3(S3_M),
    events: [event(3, { depth: S3_M - 0.9, detail: '5 980 kPa under 7 500 kPa' }), ...PAST_EVENTS],
  }),
  stalled: () => ({
    now: nowAt(stallDepth, {
      phase: 'stalled',
      feed: 0,
      torque: 12.8,
      setDown: 96,
      judgement: { state: 'bad', causes: ['no rotation'] },
      rotation: 6,
    }),
    joints: JOINTS_AT_S3(stallDepth),
    events: [
      event(4, { kind: 'stall', depth: stallDepth }),
      event(5, { kind: 'high torque', depth: stallDepth, fromMs: SCENE_START_MS - 20_000 }),
      event(6, { kind: 'stuck sensor', priority: 'medium', joint: null, depth: null, detail: 'flow in' }),
      ...PAST_EVENTS,
    ],
  }),
  connection: () => ({
    now: nowAt(S3_M, {
      phase: 'making connection',
      judgement: { state: 'idle', causes: [] },
      standpipePressure: 120,
      feed: 0,
      rotation: 0,
      torque: 0,
      inSlips: true,
    }),
    joints: JOINTS_AT_S3(S3_M),
    events: [],
  }),
  'at the tool': () => ({
    now: atTool(S3_M),
    joints: JOINTS_AT_S3(S3_M),
    events: PAST_EVENTS,
    steps: STEPS,
    plan: TOOL_PLAN,
  }),
  'low at the tool': () => ({
    now: atTool(S3_M, {
      toolPressure: {
        ...TOOL_PRESSURE,
        fromStandpipe: 5210,
        fromFlow: 7405,
        sigma: 360,
        losses: 'model',
        calibration: null,
      },
      judgement: { state: 'bad', causes: ['low pressure', 'high feed per turn'] },
      feedPerTurn: 0.052,
    }),
    joints: JOINTS_AT_S3(S3_M).map((joint) => (joint.index === 4 ? { ...joint, couldBe: ['expanded'] } : joint)),
    events: [
      event(8, {
        kind: 'washout',
        priority: 'medium',
        depth: S3_M,
        detail: [kpa(5210), ' from standpipe, ', kpa(7405), ' from flow'],
      }),
      event(9, { depth: S3_M - 0.9, detail: [kpa(5210), ' under ', kpa(6500)] }),
      event(10, {
        kind: 'losses',
        joint: null,
        depth: null,
        fromMs: SCENE_START_MS - 300_000,
        detail: '2.1 m³ in 4 min',
      }),
    ],
    steps: STEPS,
    plan: TOOL_PLAN,
  }),
  'depth offered': () => ({
    now: atTool(OFFER.shown + 4.3, {
      phase: 'tagging depth',
      joint: 2,
      tool: 0,
      judgement: { state: 'idle', causes: [] },
      feed: 0,
      rotation: 0,
      torque: 0.2,
      toolDepths: [OFFER.shown, OFFER.shown + 4.3],
      bounds: NO_BOUNDS,
      depthAtTool: { sigma: 0.35, stretch: 0.12, corrected: 'not corrected', offer: OFFER },
    }),
    joints: SCENE_JOB.joints.map(({ index }) => untouched(index)),
    events: [],
    steps: [...STEPS, OPEN_TEST],
    plan: TOOL_PLAN,
  }),
  'nothing yet': () => ({
    now: null,
    joints: SCENE_JOB.joints.map(({ index }) => untouched(index)),
    events: [],
    link: 'listening',
  }),
  'pulling out': () => ({
    now: nowAt(2417, {
      phase: 'pulling out',
      joint: null,
      tool: null,
      judgement: { state: 'idle', causes: [] },
      feed: -4.2,
      bounds: NO_BOUNDS,
    }),
    joints: SCENE_JOB.joints.map(({ index, requiredM }) =>
      requiredM > 0 ? swept(index, Number.POSITIVE_INFINITY) : untouched(index),
    ),
    events: PAST_EVENTS,
  }),
};

export function snapshotOf(scene: Scene): Omit<SnapshotMessage, 'type' | 'seq'> {
  return {
    run: 'scene',
    clock: { rate: scene.rate ?? 1, serverMs: Date.now() },
    plan: scene.plan ?? SCENE_PLAN,
    now: scene.now,
    joints: scene.joints,
    events: [...scene.events],
    steps: [...(scene.steps ?? [])],
    turnedOff: ['balls on their way: needs balls'],
    ingest: {
      source: 'tcp 127.0.0.1:5005',
      link: scene.link ?? 'connected',
      linkDetail: '',
      bytes: 2_412_345,
      frames: 6456,
      samples: 6450,
      rejected: { 'no trailer': 2, 'not a number': 1 },
      unknownCodes: [{ code: '0199', count: 6456, last: '12.5' }],
      recording: scene.recording ?? { state: 'not kept' },
    },
  };
}
