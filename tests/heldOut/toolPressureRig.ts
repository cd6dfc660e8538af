/**
 * A rig for the pressure at the tool, of its own making: Blasius' smooth pipe with one viscosity, a constant share of it for
 * the annulus, Torricelli's nozzles. Nothing of the product's formulas is used. What a leak lets out is not at the nozzles.
 */
import { emptySample, type Sample } from '../../src/channels.ts';
import { random } from './rigScript.ts';

export interface RigFacts {
  /** Of the friction by Blasius that the rig really has. */
  readonly friction: number;
  readonly exponent: number;
  readonly areaShare: { readonly low: number; readonly high: number };
  readonly periodS: number;
  readonly seed: number;
  /** Standard deviations: shares of the reading and kPa, L/min. */
  readonly noise: { readonly pressure: number; readonly kPa: number; readonly flow: number };
}

export const FACTS: RigFacts = {
  friction: 1,
  exponent: 1.75,
  areaShare: { low: 1, high: 1 },
  periodS: 1,
  seed: 1,
  noise: { pressure: 0.004, kPa: 8, flow: 0.004 },
};

const DENSITY = 1180;
const VISCOSITY = 0.02;
export const AREA_MM2 = { low: 140, high: 117 };
export const SHIFTS_AT = 1100;
const PIPES = [
  { metres: 2330, bore: 0.1086 },
  { metres: 120, bore: 0.0702 },
];
const REFERENCE_FLOW = 900;
const ANNULUS_SHARE = 0.18;
/** Pumps change by so many L/min a second; pressure and valve follow within some seconds. */
const RAMP = 40;
const PRESSURE_LAG_S = 1.2;
export const START_MS = Date.UTC(2031, 2, 4);

/** Darcy–Weisbach with Blasius' factor, kPa. */
function blasiusKpa(flow: number): number {
  let kpa = 0;
  for (const { metres, bore } of PIPES) {
    const speed = flow / 60_000 / ((Math.PI / 4) * bore * bore);
    const reynolds = (DENSITY * speed * bore) / VISCOSITY;
    kpa += (((0.3164 / reynolds ** 0.25) * metres) / bore) * (DENSITY / 2) * speed * speed * 1e-3;
  }
  return kpa * (1 + ANNULUS_SHARE);
}

export function frictionKpa({ friction, exponent }: RigFacts, flow: number): number {
  return friction * blasiusKpa(REFERENCE_FLOW) * (flow / REFERENCE_FLOW) ** exponent;
}

export function nozzleKpa({ areaShare }: RigFacts, path: 'low' | 'high', flow: number): number {
  const speed = flow / 60_000 / (0.95 * AREA_MM2[path] * areaShare[path] * 1e-6);
  return (DENSITY / 2) * speed * speed * 1e-3;
}

/** What is asked of the rig from one moment to the next. */
export interface Step {
  readonly seconds: number;
  readonly flow?: number;
  /** End depth at the end of the step, m. */
  readonly depth?: number;
  readonly rpm?: number;
  readonly slips?: boolean;
  /** Share of flow that leaks away above the tool at the end of the step. */
  readonly leak?: number;
  /** Share of the nozzles' area that is left at the end of the step. */
  readonly open?: number;
  readonly valve?: 'works' | 'stuck';
  /** Of the flow that the strokes say is delivered, at the end of the step. */
  readonly delivery?: number;
}

export interface Told extends Sample {
  /** The truth: pressure over the open nozzles, kPa, the leak's share and the path. */
  readonly trueToolKpa: number;
  readonly leak: number;
  readonly path: 'low' | 'high';
  readonly step: number;
}

const HANGING_KN = 790;
const BLOCK_KN = 180;
const DT = 0.2;

/** Plays the steps; one sample each period. The pumps' two counters share the strokes. */
export function tellRig(facts: RigFacts, fromDepth: number, steps: readonly Step[]): Told[] {
  const draw = random(facts.seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
  const now = { flow: 0, depth: fromDepth, rpm: 0, leak: 0, open: 1, delivery: 1, pressure: 0, tool: 0 };
  let aim = 0;
  let slips = false;
  let stuck = false;
  let path: 'low' | 'high' = 'low';
  const told: Told[] = [];
  let t = 0;
  steps.forEach((step, index) => {
    const start = { ...now };
    aim = step.flow ?? aim;
    slips = step.slips ?? slips;
    stuck = step.valve ? step.valve === 'stuck' : stuck;
    const count = Math.round(step.seconds / DT);
    for (let i = 1; i <= count; i += 1) {
      const share = i / count;
      const to = (from: number, target: number | undefined) =>
        target === undefined ? from : from + (target - from) * share;
      now.flow += Math.max(-RAMP * DT, Math.min(RAMP * DT, aim - now.flow));
      now.depth = to(start.depth, step.depth);
      now.rpm = step.rpm ?? now.rpm;
      now.leak = to(start.leak, step.leak);
      now.open = to(start.open, step.open);
      now.delivery = to(start.delivery, step.delivery);
      if (!stuck) path = now.flow >= SHIFTS_AT ? 'high' : now.flow < 0.8 * SHIFTS_AT ? 'low' : path;
      const through = now.flow * (1 - now.leak);
      const toolKpa = nozzleKpa(facts, path, through) / now.open ** 2;
      const standpipe = toolKpa + frictionKpa(facts, now.flow);
      now.pressure += (standpipe - now.pressure) * (1 - Math.exp(-DT / PRESSURE_LAG_S));
      now.tool += (toolKpa - now.tool) * (1 - Math.exp(-DT / PRESSURE_LAG_S));
      const before = Math.floor((t + 1e-9) / facts.periodS);
      t += DT;
      if (Math.floor((t + 1e-9) / facts.periodS) === before) continue;
      const sample = emptySample(START_MS + Math.round(t) * 1000, START_MS + Math.round(t) * 1000);
      const noisy = (value: number, of: number, least = 0) => value + normal() * (of * value + (value > 0 ? least : 0));
      sample.bitDepth = Math.round(now.depth * 100) / 100;
      sample.blockPosition = Math.round((30 - (now.depth - fromDepth)) * 100) / 100;
      sample.hookload = (slips ? BLOCK_KN : HANGING_KN) + normal();
      sample.rotation = now.rpm;
      sample.torque = now.rpm > 0 ? 5 : 0;
      sample.flowIn = Math.max(0, noisy(now.flow, facts.noise.flow));
      sample.standpipePressure = Math.max(0, noisy(now.pressure, facts.noise.pressure, facts.noise.kPa));
      sample.strokeRate1 = sample.strokeRate2 = now.flow / now.delivery / (16.2 * 0.97) / 2;
      sample.inSlips = slips ? 1 : 0;
      told.push({ ...sample, trueToolKpa: now.tool, leak: now.leak, path, step: index });
    }
  });
  return told;
}

/** An isolation joint and two screens under 2,400 m of pipe; tools at 5 m and 1 m above the end. */
export function toolPlan(at: 'tool' | 'standpipe' = 'tool', change: object = {}): object {
  return {
    format: 'jointwise-plan/1',
    units: 'metric',
    stream: { gapAfter: 12 },
    liner: {
      top: 2400,
      joints: [
        { name: 'B1', kind: 'blank', length: 40 },
        { name: 'S1', kind: 'screen', length: 12, expandFrom: 0.6, expandTo: 11.4 },
        { name: 'B2', kind: 'blank', length: 12 },
        { name: 'Z1', kind: 'isolation', length: 8, expandFrom: 0.8, expandTo: 7.2 },
        { name: 'B3', kind: 'blank', length: 20 },
      ],
    },
    tools: [
      { name: 'upper', offset: 5 },
      { name: 'lower', offset: 1 },
    ],
    recipes: {
      isolation: { tools: ['upper'], pressure: { at, min: 14000, max: 20000 }, rpm: { min: 15 }, feed: { max: 1.5 } },
      screen: { tools: ['lower'], pressure: { at, min: 6000, max: 9500 }, rpm: { min: 15 }, feed: { max: 2 } },
    },
    acceptance: { coverage: 0.97, longestGap: 0.3 },
    limits: { stall: { feed: 0.05, seconds: 30 } },
    fluid: { density: DENSITY, dials: { '600': 38, '300': 24, '6': 4, '3': 3 } },
    string: [
      { name: 'drill pipe', length: 2330, od: 127, id: 108.6, mass: 31 },
      { name: 'inner string', length: 120, od: 88.9, id: 70.2, mass: 21.6 },
    ],
    hole: [
      { from: 0, to: 2405, id: 220.5, friction: 0.25 },
      { from: 2405, to: 2545, id: 215.9, friction: 0.35 },
    ],
    surface: {
      blockWeight: BLOCK_KN,
      pumps: [
        { name: '1', displacement: 16.2 },
        { name: '2', displacement: 16.2 },
      ],
    },
    flowPath: { shiftsAt: SHIFTS_AT, dischargeCoefficient: 0.95, low: { area: 140 }, high: { area: 117 } },
    ...change,
  };
}

/** Free of any joint: three rates, one after the other, and back to a low one. */
export const THREE_RATES: readonly Step[] = [
  { seconds: 30 },
  { seconds: 90, flow: 450, rpm: 20 },
  { seconds: 90, flow: 800 },
  { seconds: 90, flow: 1180 },
  { seconds: 60, flow: 300 },
];
