/** A hanger trip drawn from a seed, with faults or without: the plan, the script, and what should come of it. */
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { HangerScript } from './hangerScript.ts';
import { random } from './rigScript.ts';

export const FAULTS = [
  'late ball',
  'leaky step',
  'sliding hanger',
  'leaky packer',
  'held liner',
  'dragged liner',
] as const;
export type Fault = (typeof FAULTS)[number];

/** m a kN for 2,402 m of 88.9 × 70.2 mm pipe by hand: 2402 / (206.8 GPa × 2,336 mm²). */
export const STRETCH_M_PER_KN = 0.004972;
/** m³ inside 2,405 m of 70.2 mm bore, by hand. */
export const TO_SEAT_M3 = 9.309;
const END_M = 2410;
const WEIGHTS = { rest: 720, up: 775, down: 680, liner: 120 } as const;
const PULL = { up: 160, down: 110, residual: 0.15 } as const;

export function heldOutHangerPlan(): Plan {
  return planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    job: { well: 'held-out', rig: 'held-out' },
    stream: { units: 'metric' },
    liner: {
      top: 2402,
      joints: [
        { name: 'HG', kind: 'hanger', length: 9 },
        { name: 'B0', kind: 'blank', length: 12 },
        { name: 'Z1', kind: 'isolation', length: 7, expandFrom: 0.8, expandTo: 6 },
        { name: 'S1', kind: 'screen', length: 11, expandFrom: 0.6, expandTo: 10.4 },
      ],
    },
    tools: [
      { name: 'upper', offset: 5 },
      { name: 'lower', offset: 1 },
    ],
    recipes: {
      isolation: { tools: ['upper'], pressure: { min: 16000, max: 22000 }, rpm: { min: 15 }, feed: { max: 1.5 } },
      screen: { tools: ['lower'], pressure: { min: 7500, max: 11000 }, rpm: { min: 15 }, feed: { max: 2 } },
    },
    acceptance: { coverage: 0.97, longestGap: 0.3 },
    limits: { stall: { feed: 0.05, seconds: 30 } },
    string: [{ length: END_M, od: 88.9, id: 70.2, mass: 23 }],
    surface: { blockWeight: 170, pumps: [{ name: '1', displacement: 16.2, efficiency: 1 }] },
    balls: [
      { name: 'ball 1', purpose: 'set hanger', seat: 2405, flow: 700, slowBefore: 2, slowFlow: 180, overdueAfter: 1.5 },
      { name: 'ball 2', purpose: 'open circulating sub', seat: 2390, flow: 700 },
    ],
    hanger: {
      steps: [
        { name: 'first', pressure: 9000, hold: 3 },
        { name: 'second', pressure: 16000, hold: 5 },
        { name: 'last', pressure: 22000, hold: 1, shears: true },
      ],
      pull: PULL,
      annulusTest: { pressure: 8000, hold: 10, stabilised: 30, maxDecline: 0.05, rule: 'the programme: 5 % in 10 min' },
      linerWeight: WEIGHTS.liner,
    },
  });
}

export function hangerScript(seed: number, faults: readonly Fault[] = [], journal = true): HangerScript {
  const rand = random(seed + 900);
  const between = (low: number, high: number) => low + (high - low) * rand();
  const has = (fault: Fault) => faults.includes(fault);
  const script = new HangerScript({ depth: END_M, spp: 0, annulus: 0, flow: 0, rpm: 0, hook: WEIGHTS.rest });
  script.go(between(20, 60));
  weigh(script);
  circulate(script, between);
  travel(script, has('late ball') ? TO_SEAT_M3 + 2.4 : TO_SEAT_M3 * between(0.92, 0.99), journal, has('late ball'));
  steps(script, between, has('leaky step'));
  if (has('sliding hanger')) slide(script, between);
  pushAndPull(script, between);
  if (has('leaky packer')) annulus(script, between, between(0.012, 0.03), false);
  annulus(script, between, between(0, 0.002), true);
  if (has('held liner')) heldLiner(script, between);
  if (has('dragged liner')) draggedLiner(script, between);
  release(script, between);
  return script;
}

type Between = (low: number, high: number) => number;

function weigh(script: HangerScript): void {
  script
    .go(7, { hook: WEIGHTS.up, depth: END_M - 0.06 })
    .go(20, { depth: END_M - 1.7 })
    .go(33, { depth: END_M - 3.5 })
    .go(1, { hook: WEIGHTS.rest })
    .go(20);
  script
    .go(7, { hook: WEIGHTS.down, depth: END_M - 3.44 })
    .go(20, { depth: END_M - 1.6 })
    .go(33, { depth: END_M })
    .go(1, { hook: WEIGHTS.rest })
    .go(20);
}

function circulate(script: HangerScript, between: Between): void {
  for (const flow of [300, 700]) script.go(20, { flow, spp: (flow / 700) ** 1.8 * 5200 }).go(between(40, 90));
  script.go(15, { flow: 0, spp: 0 }).go(30);
}

function travel(script: HangerScript, landsM3: number, journal: boolean, late: boolean): void {
  const from = script.t;
  if (journal) script.drop('ball 1');
  const fast = (TO_SEAT_M3 - 2) / 0.7;
  script
    .go(10, { flow: 700, spp: 5200 })
    .go((fast - 0.07) * 60)
    .go(10, { flow: 180, spp: 450 });
  // 10 s up and 10 s down have pumped what the fast stretch lacks, to a hundredth of a m³.
  const slowS = ((landsM3 - (TO_SEAT_M3 - 2)) / 0.18) * 60 - 10;
  if (late) {
    script.go(((2 + 1.5) / 0.18) * 60 - 10).event('ball overdue');
    script.go(slowS - (((2 + 1.5) / 0.18) * 60 - 10));
  } else script.go(Math.max(5, slowS));
  script.expect(
    'ball',
    'ball 1',
    'passed',
    journal ? from : script.t,
    journal ? { 'volume pumped': [landsM3, 0.15], 'volume predicted': [TO_SEAT_M3, 0.01] } : {},
  );
  script.go(14, { spp: 3600 }).go(4, { flow: 0 }).go(30);
}

function steps(script: HangerScript, between: Between, leaky: boolean): void {
  const up = (kpa: number) =>
    script
      .go(6, { flow: 90 })
      .go((kpa - script.now.spp) / 140, { spp: kpa })
      .go(4, { flow: 0 });
  if (leaky) {
    up(9000 * 1.02);
    const from = script.t;
    script
      .go(150, { spp: 9000 * 0.9 })
      .expect('pressure step', 'first', 'failed', from)
      .event('test not passed');
    script.go(60, { spp: 9000 * 0.85 });
  }
  for (const [name, kpa, minutes] of [
    ['first', 9000, 3],
    ['second', 16000, 5],
  ] as const) {
    up(kpa * between(0.99, 1.04));
    const from = script.t;
    const lost = between(0, 0.01) * kpa;
    const held = minutes * 60 + 30;
    script.go(held, { spp: script.now.spp - lost });
    script.expect('pressure step', name, 'passed', from, {
      'decline a minute': [(lost / held) * 60, kpa * 0.0015],
      'minutes held': [held / 60, 0.25],
    });
  }
  const from = script.t;
  const shears = 22000 * between(0.95, 1.05);
  script
    .go(6, { flow: 90 })
    .go((shears - script.now.spp) / 140, { spp: shears })
    .go(1.5, { spp: 200 });
  script.expect('pressure step', 'last', 'passed', from, { 'shear pressure': [shears, 350] });
  script.go(10).go(4, { flow: 0, spp: 0 }).go(30);
}

/** Below the hook: what arrives at the hanger is the change of load less half of the friction on the way. */
const movedBy = (kn: number, frictionKn: number) =>
  STRETCH_M_PER_KN * 0.98 * Math.sign(kn) * Math.max(0, Math.abs(kn) - frictionKn / 2);

function loadTo(script: HangerScript, hook: number, slid = 0): void {
  const change = hook - WEIGHTS.rest;
  const friction = change > 0 ? WEIGHTS.up - WEIGHTS.rest : WEIGHTS.rest - WEIGHTS.down;
  const depth = END_M - movedBy(change, friction) - slid;
  script.go(Math.max(10, Math.abs(depth - script.now.depth) * 45), { hook, depth });
}

function slide(script: HangerScript, between: Between): void {
  const slid = between(0.45, 0.9);
  loadTo(script, WEIGHTS.up + PULL.up * 0.8);
  const from = script.t;
  script.go(20, { depth: script.now.depth - slid }).go(25);
  script.expect('push and pull', 'hanger', 'failed', from, {}).event('hanger moved');
  loadTo(script, WEIGHTS.rest);
  script.go(40);
}

function pushAndPull(script: HangerScript, between: Between): void {
  const from = script.t;
  const rest = script.now.depth;
  const over = PULL.up * between(1, 1.1);
  const under = PULL.down * between(1, 1.1);
  const shift = rest - END_M;
  loadTo(script, WEIGHTS.up + over, -shift);
  const pulled = rest - script.now.depth;
  script.go(between(15, 60));
  loadTo(script, WEIGHTS.down - under, -shift);
  const pushed = script.now.depth - rest;
  script.go(between(15, 60));
  script.expect('push and pull', 'hanger', 'passed', from, {
    pull: [over, 12],
    push: [under, 12],
    'pull movement': [pulled, 0.12],
    'push movement': [pushed, 0.12],
  });
  loadTo(script, WEIGHTS.rest - WEIGHTS.liner, -shift);
  script.go(30);
}

function annulus(script: HangerScript, between: Between, sharePerMin: number, good: boolean): void {
  const kpa = 8000 * between(1, 1.03);
  script.go(between(60, 200), { annulus: kpa });
  const from = script.t;
  const settled = kpa * (1 - between(0.005, 0.012));
  script.go(60, { annulus: (kpa + settled * 2) / 3 }).go(90, { annulus: settled });
  const lost = settled * sharePerMin * 10;
  script.go(600, { annulus: settled - lost });
  // The decline over any ten minutes lies between the slow end and the settling beginning.
  if (good) {
    const most = kpa - (settled - lost);
    script.expect('annulus test', 'packer', 'passed', from, {
      decline: [(lost + most) / 2, (most - lost) / 2 + 40],
      minutes: [10, 0.05],
    });
    script.go(60, { annulus: settled - lost * 1.1 });
  } else script.expect('annulus test', 'packer', 'failed', from).event('test not passed');
  script.go(25, { annulus: 0 }).go(30);
}

function turnFree(script: HangerScript, seconds: number): void {
  script.go(4, { rpm: 10 }).go(seconds).go(4, { rpm: 0 }).go(10);
}

function heldLiner(script: HangerScript, between: Between): void {
  const from = script.t;
  turnFree(script, between(20, 60));
  const at = script.now.depth;
  const hook = WEIGHTS.up + 60;
  const change = hook - script.now.hook;
  script.go(50, { hook, depth: at - STRETCH_M_PER_KN * (change - 40) }).go(20);
  script.expect('release', 'running tool', 'failed', from).event('test not passed');
  script.go(50, { hook: WEIGHTS.rest - WEIGHTS.liner, depth: at }).go(20);
}

/** The tool is free of the hanger, and the liner comes along. */
function draggedLiner(script: HangerScript, between: Between): void {
  const from = script.t;
  turnFree(script, between(20, 60));
  const at = script.now.depth;
  script.go(15, { hook: WEIGHTS.up, depth: at - 0.7 }).go(60, { depth: at - 4.5 });
  script.expect('release', 'running tool', 'failed', from).event('test not passed');
  script
    .go(1, { hook: WEIGHTS.down })
    .go(60, { depth: at })
    .go(5, { hook: WEIGHTS.rest - WEIGHTS.liner })
    .go(20);
}

function release(script: HangerScript, between: Between): void {
  const from = script.t;
  turnFree(script, between(20, 60));
  const at = script.now.depth;
  const after = WEIGHTS.up - WEIGHTS.liner;
  script.go(2, { hook: after, depth: at - 0.1 }).go(60, { depth: at - 4 });
  script.expect('release', 'running tool', 'passed', from, {
    change: [WEIGHTS.liner, 10],
    'up-weight after': [after, 8],
  });
  script.go(2, { hook: WEIGHTS.rest - WEIGHTS.liner }).go(30);
}
