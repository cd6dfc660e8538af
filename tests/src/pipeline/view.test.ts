/** The run as the page is told of it: every figure in its place, in its unit, and null where nothing is known. */
import { describe, expect, it } from 'vitest';
import { z } from 'zod/mini';
import { emptySample, type Sample } from '../../../src/channels.ts';
import {
  BREACHES,
  eventStateSchema,
  jointStateSchema,
  nowSchema,
  TRACE_COLUMNS,
  traceRowSchema,
} from '../../../src/live/messages.ts';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import {
  eventStateOf,
  eventsOf,
  eventsRevision,
  jointRevision,
  jointStateOf,
  nowOf,
  traceRowOf,
} from '../../../src/pipeline/view.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { readTable } from '../table.ts';
import { START_MS, samplesOf, scenarioPlan } from './scenario.ts';

const run = (table: string, plan: Plan = scenarioPlan()): Run => {
  const state = createRun(compileJob(plan));
  for (const sample of samplesOf(readTable(table))) advance(state, { kind: 'sample', sample });
  return state;
};
const HEAD = 't_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark';
const at = (state: Run, seconds: number, values: Partial<Sample>): void => {
  const ms = START_MS + seconds * 1000;
  advance(state, { kind: 'sample', sample: { ...emptySample(ms, ms + 250), ...values } });
};

/** The lower tool has expanded S1 from 1014.5 to 1016.8, at 1.2 m/min. */
const EXPANDING = `${HEAD}
    0   900     9000   30    22.00  1015.20          790 | -
  130   900     9000   30    19.40  1017.80          790 | -`;
const NEXT = {
  bitDepth: 1017.82,
  blockPosition: 19.38,
  hookload: 741,
  torque: 7.25,
  rotation: 31,
  standpipePressure: 9120,
  flowIn: 905,
};
function expanding(values: Partial<Sample> = {}, plan?: Plan): Run {
  const state = run(EXPANDING, plan);
  at(state, 131, { ...NEXT, ...values });
  return state;
}
const SCREEN_BOUNDS = {
  recipe: 'screen',
  pressureMin: 7500,
  pressureMax: 11_000,
  rpmMin: 15,
  feedMax: 2,
  torqueMax: 12,
};

describe('now', () => {
  it('is nothing before the first sample', () => {
    expect(nowOf(createRun(compileJob(scenarioPlan())))).toBeNull();
  });

  it('carries each reading in its own place', () => {
    const now = nowOf(expanding())!;
    expect(nowSchema.parse(now)).toEqual(now);
    expect(now).toMatchObject({
      sourceMs: START_MS + 131_000,
      arrivalMs: START_MS + 131_250,
      phase: 'expanding screen',
      joint: 2,
      tool: 1,
      judgement: { state: 'good', causes: [] },
      endDepth: 1017.82,
      blockPosition: 19.38,
      depthCorrection: 0,
      standpipePressure: 9120,
      rotation: 31,
      torque: 7.25,
      hookload: 741,
      setDown: 49,
      flowIn: 905,
      inSlips: false,
      requiredM: 13,
      connections: 0,
      bounds: SCREEN_BOUNDS,
    });
    expect(now.toolDepths.map((depth) => depth!.toFixed(2))).toEqual(['1012.82', '1016.82']);
    expect(now.feed).toBeCloseTo(1.2, 1);
    expect(now.phaseSinceMs).toBeLessThan(START_MS + 30_000);
    // S1 counts from 1014.5 on; the string was at 1016.82 when last seen.
    expect(now.expandedM).toBeCloseTo(2.32, 1);
  });

  it('says null for what was not read', () => {
    const unread = { hookload: Number.NaN, torque: Number.NaN, flowIn: Number.NaN, blockPosition: Number.NaN };
    const now = nowOf(expanding({ ...unread, standpipePressure: Number.NaN, rotation: Number.NaN }))!;
    expect(nowSchema.parse(now)).toEqual(now);
    expect(now).toMatchObject({ hookload: null, torque: null, flowIn: null, standpipePressure: null, rotation: null });
    expect([now.blockPosition, now.setDown]).toEqual([null, null]);
    const deaf = createRun(compileJob(scenarioPlan()));
    at(deaf, 0, { standpipePressure: 9000 });
    expect(nowOf(deaf)).toMatchObject({ endDepth: null, feed: null, toolDepths: [null, null], phase: 'no data' });
  });

  it('counts a depth that the journal corrected, and says by how much', () => {
    const state = expanding();
    const entry = { at: new Date(START_MS + 131_500).toISOString(), by: 'A. Person', action: 'set depth' as const };
    advance(state, { kind: 'journal', entry: { ...entry, tool: 'lower', depth: 1017.32 } });
    at(state, 132, { ...NEXT, bitDepth: 1017.84, blockPosition: 19.36 });
    const now = nowOf(state)!;
    expect(now.depthCorrection).toBeCloseTo(0.5, 9);
    expect(now.endDepth).toBeCloseTo(1018.34, 9);
    expect(now.toolDepths[1]).toBeCloseTo(1017.34, 9);
  });

  it('says what rests on the tool, of a weight that was measured before', () => {
    const state = run(`${HEAD}
    0   900      500   30    22.00  1005.00          790 | turning above the joints of the lower tool
   60   900      500   30    22.00  1005.00          790 | -`);
    at(state, 61, { ...NEXT, bitDepth: 1005, blockPosition: 22, standpipePressure: 500, hookload: 750 });
    const { setDown } = nowOf(state)!;
    expect(setDown).toBeGreaterThan(38);
    expect(setDown).toBeLessThanOrEqual(40);
  });

  it('knows no set-down and no torque on the tool while the string hangs in the slips', () => {
    const state = expanding();
    expect(nowOf(state)!.setDown).toBe(49);
    // The block alone on the hook, and its flag: what the hookload lacks lies on the slips.
    for (const second of [132, 133, 134]) at(state, second, { ...NEXT, hookload: 180, rotation: 0, inSlips: 1 });
    const now = nowOf(state)!;
    expect([now.inSlips, now.setDown, now.torqueOnTool]).toEqual([true, null, null]);
    expect(traceRowOf(state)[TRACE_COLUMNS.indexOf('setDown')]).toBeNull();
  });
});

describe('the bounds in force', () => {
  it.each([
    // end of the string, m | what comes next or is at work
    [1001, 'isolation'], // upper tool still above the liner
    [1005.5, 'isolation'], // upper tool at the start of Z1
    [1012, 'screen'],
  ])('with the end at %d m and pumps off: those of the %s', (end, recipe) => {
    const state = createRun(compileJob(scenarioPlan()));
    for (let s = 0; s < 20; s += 1)
      at(state, s, { bitDepth: end, blockPosition: 20, standpipePressure: 0, rotation: 0 });
    expect(nowOf(state)!.bounds.recipe).toBe(recipe);
  });

  it('where a tool serves both kinds, the joint that it is in decides', () => {
    const { recipes } = scenarioPlan();
    const plan = {
      ...scenarioPlan(),
      recipes: { ...recipes, screen: { ...recipes.screen!, tools: ['upper', 'lower'] } },
    };
    const state = expanding({}, plan);
    for (const [focusJoint, recipe] of [
      [0, 'isolation'],
      [2, 'screen'],
      [1, 'isolation'],
      [-1, 'isolation'],
    ] as const) {
      Object.assign(state.work, { joint: -1, focusTool: 0, focusJoint });
      expect([focusJoint, nowOf(state)!.bounds.recipe]).toEqual([focusJoint, recipe]);
    }
  });

  it('a bound that the plan leaves out is null', () => {
    const plan = planSchema.parse({
      ...scenarioPlan(),
      recipes: { ...scenarioPlan().recipes, screen: { tools: ['lower'], pressure: { min: 7500 } } },
    });
    const none = { pressureMax: null, rpmMin: null, feedMax: null, feedPerTurnMax: null, torqueMax: null };
    expect(nowOf(expanding({}, plan))!.bounds).toEqual({
      recipe: 'screen',
      pressureAt: 'standpipe',
      pressureMin: 7500,
      ...none,
    });
  });
});

describe('the judgement', () => {
  it.each<[string, Partial<Sample>, object]>([
    ['all within', {}, { state: 'good', causes: [] }],
    ['at its bounds', { standpipePressure: 7500, rotation: 15 }, { state: 'good', causes: [] }],
    ['pressure below', { standpipePressure: 7499 }, { state: 'bad', causes: ['low pressure'] }],
    ['rotation below', { rotation: 14 }, { state: 'bad', causes: ['no rotation'] }],
    ['both', { standpipePressure: 7000, rotation: 0 }, { state: 'bad', causes: ['low pressure', 'no rotation'] }],
    ['pressure not read', { standpipePressure: Number.NaN }, { state: 'bad', causes: ['no data'] }],
    ['rotation not read', { rotation: Number.NaN }, { state: 'bad', causes: ['no data'] }],
    ['pressure over its most: expands, and is not good', { standpipePressure: 11_001 }, { state: 'bad', causes: [] }],
    ['torque over its most', { torque: 12.1 }, { state: 'bad', causes: [] }],
    ['torque not read', { torque: Number.NaN }, { state: 'good', causes: [] }],
    ['depth not read', { bitDepth: Number.NaN, blockPosition: Number.NaN }, { state: 'unknown', causes: ['no data'] }],
  ])('%s', (_what, values, wanted) => {
    expect(nowOf(expanding(values))!.judgement).toEqual(wanted);
  });

  it('names a feed that is proven too fast', () => {
    const state = run(`${HEAD}
    0   900     9000   30    22.00  1015.60          790 | -
   30   900     9000   30    21.40  1016.20          790 | -
   60   900     9000   30    19.40  1018.20          790 | four metres a minute`);
    expect(nowOf(state)!.judgement).toEqual({ state: 'bad', causes: ['fast feed'] });
  });

  it('a stall is bad, and needs no other cause', () => {
    const state = run(`${HEAD}
    0   900     9000   30    22.00  1015.60          790 | -
   30   900     9000   30    21.40  1016.20          790 | -
   90   900     9000   30    21.40  1016.20          740 | -`);
    expect(nowOf(state)).toMatchObject({ phase: 'stalled', judgement: { state: 'bad', causes: [] } });
    expect(jointStateOf(state, 2).stalls).toBe(1);
  });

  it.each<[string, string]>([
    ['standing', '   45   900     9000   30    21.40  1016.20          790 | -'],
    ['lifted', '   60   900     9000   30    23.40  1014.20          790 | -'],
    ['in the slips', '   60     0        0    0    27.40  1016.20          180 | -'],
  ])('%s is idle', (_what, row) => {
    const state = run(`${HEAD}
    0   900     9000   30    22.00  1015.60          790 | -
   30   900     9000   30    21.40  1016.20          790 | -
   31   900     9000   30    21.40  1016.20          790 | -
${row}`);
    expect(nowOf(state)!.judgement).toEqual({ state: 'idle', causes: [] });
  });
});

it.each<[string, (state: Run) => void]>([
  [
    'in the slips',
    (state) => {
      state.slips.in = true;
    },
  ],
  [
    'with nothing at work',
    (state) => {
      state.work.joint = -1;
    },
  ],
  [
    'going up',
    (state) => {
      state.motion.way = 'up';
    },
  ],
  [
    'standing',
    (state) => {
      state.motion.way = 'still';
    },
  ],
])('%s, nothing is judged, whatever the readings', (_what, change) => {
  const state = expanding({ standpipePressure: 7000, torque: 99 });
  expect(nowOf(state)!.judgement.state).toBe('bad');
  change(state);
  expect(nowOf(state)!.judgement).toEqual({ state: 'idle', causes: [] });
});

describe('a row of the traces', () => {
  it('has each value in the column of its name', () => {
    const state = expanding({ standpipePressure: 7100 });
    const row = traceRowOf(state);
    expect(traceRowSchema.parse(row)).toEqual(row);
    const named = Object.fromEntries(TRACE_COLUMNS.map((name, i) => [name, row[i]]));
    expect(named).toMatchObject({
      sourceMs: START_MS + 131_000,
      standpipePressure: 7100,
      flowIn: 905,
      torque: 7.25,
      rotation: 31,
      hookload: 741,
      // 790 kN were read while the string turned above the joint.
      setDown: 49,
      blockPosition: 19.38,
      pressureMin: 7500,
      pressureMax: 11_000,
      breach: BREACHES.pressure,
    });
    expect(named.toolDepth).toBeCloseTo(1016.82, 9);
    expect(named.feed).toBe(nowOf(state)!.feed);
  });

  it.each<[string, Partial<Sample>, number]>([
    ['none', {}, 0],
    ['rotation', { rotation: 3 }, BREACHES.rotation],
    ['torque', { torque: 13 }, BREACHES.torque],
    ['pressure above', { standpipePressure: 11_500 }, BREACHES.pressure],
    ['two at once', { standpipePressure: 11_500, torque: 13 }, BREACHES.pressure | BREACHES.torque],
  ])('marks the bounds that are broken: %s', (_what, values, breach) => {
    expect(traceRowOf(expanding(values)).at(-1)).toBe(breach);
  });

  it('says null for what was not read', () => {
    const row = traceRowOf(expanding({ flowIn: Number.NaN, hookload: Number.NaN }));
    expect([row[3], row[6], row[7]]).toEqual([null, null, null]);
  });
});

describe('a joint', () => {
  /** Low pressure from 1016.42 to 1016.92 of the lower tool. */
  const state = run(`${HEAD}
    0   900     9000   30    22.00  1015.40          790 | -
  100   900     9000   30    20.00  1017.40          790 | -
  101   900     6000   30    19.98  1017.42          790 | -
  126   900     6000   30    19.48  1017.92          790 | -
  127   900    10000   30    19.46  1017.94          790 | -
  205   900    10000   30    17.90  1019.50          790 | -
  206   900    10000   30    17.88  1019.52          790 | -`);

  it('tells of its stretches, gaps and figures', () => {
    const joint = jointStateOf(state, 2);
    expect(jointStateSchema.parse(joint)).toEqual(joint);
    expect(joint).toMatchObject({ index: 2, passes: 1, stalls: 0, unproven: [], unprovenM: 0, verdict: 'short' });
    expect(joint.gaps).toMatchObject([{ cause: 'low pressure' }]);
    const { from, to } = joint.gaps[0]!;
    // Pressure crosses 7500 on the lines from 9000 to 6000 and from 6000 to 10000, over 0.02 m each.
    expect([from, to].map((depth) => depth.toFixed(4))).toEqual(['1016.4100', '1016.9275']);
    expect(joint.expandedM).toBeCloseTo(4 - (to - from), 6);
    expect(joint.coverage).toBeCloseTo(joint.expandedM / 4, 9);
    expect(joint.longestGap).toBeCloseTo(to - from, 9);
    expect(joint.expanded.map((span) => span.map((depth) => depth.toFixed(2)))).toEqual([
      ['1014.50', '1016.41'],
      ['1016.93', '1018.50'],
    ]);
    expect(joint.pressure).toMatchObject({ min: 6000, max: 10_000 });
    // 1.9 m at 9000, 0.02 at 7500, 0.5 at 6000, 0.02 at 8000, 1.56 at 10000 kPa, over 4 m.
    expect(joint.pressure!.mean).toBeCloseTo(
      (1.9 * 9000 + 0.02 * 7500 + 0.5 * 6000 + 0.02 * 8000 + 1.56 * 10_000) / 4,
      0,
    );
    expect(joint.feedMean).toBeCloseTo(1.2, 1);
    expect(joint.minutes).toBeGreaterThan(3.2);
    expect(joint.minutes).toBeLessThan(3.5);
  });

  it('that was not touched has no figures, one that is not to be expanded no gap', () => {
    expect(jointStateOf(state, 3)).toMatchObject({
      gaps: [{ from: 1019.5, to: 1023.5, cause: 'not reached' }],
      pressure: null,
      feedMean: null,
      longestGap: 4,
      verdict: 'not reached',
    });
    expect(jointStateOf(state, 1)).toMatchObject({ gaps: [], longestGap: 0, verdict: 'not planned', expandedM: 0 });
  });

  it('sums up to what is said of the whole', () => {
    const sum = state.job.joints.reduce((metres, { index }) => metres + jointStateOf(state, index).expandedM, 0);
    expect(nowOf(state)!.expandedM).toBeCloseTo(sum, 9);
  });

  it('has a revision that grows with it and stands while it does', () => {
    const growing = run(EXPANDING);
    const [before, other] = [jointRevision(growing, 2), jointRevision(growing, 3)];
    at(growing, 131, NEXT);
    expect(jointRevision(growing, 2)).toBeGreaterThan(before);
    expect(jointRevision(growing, 3)).toBe(other);
  });

  it('is told of without a change to it', () => {
    const before = structuredClone(state);
    for (let i = 0; i < 4; i += 1) jointStateOf(state, i);
    nowOf(state);
    traceRowOf(state);
    expect(state).toEqual(before);
  });

  it('has an event, told without what only we need', () => {
    const [event] = eventsOf(state);
    const told = eventStateOf(event!);
    expect(z.strictObject(eventStateSchema.shape).parse(told)).toEqual(told);
    expect(told).toMatchObject({ id: 1, kind: 'low pressure', priority: 'high', joint: 'S1' });
    expect(told).not.toHaveProperty('revision');
    expect([told.fromMs, told.toMs]).toEqual([START_MS + 101_000, START_MS + 127_000]);
    expect(eventsRevision(state)).toBe(Math.max(...eventsOf(state).map(({ revision }) => revision)));
  });
});
