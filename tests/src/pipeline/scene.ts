/** A stretch of a run as a function of time: what the readings do second by second, and which events come of it. */
import { emptySample, type Sample } from '../../../src/channels.ts';
import type { EventName } from '../../../src/events.ts';
import type { LoggedEvent } from '../../../src/pipeline/eventLog.ts';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { scenarioPlan } from './scenario.ts';

export type Readings = Partial<Omit<Sample, 'sourceMs' | 'arrivalMs'>>;

/** The plan of the short trips with limits of its own. */
export function planWith(limits: object, more: object = {}): Plan {
  const plan = scenarioPlan();
  return planSchema.parse({ ...plan, limits: { ...plan.limits, ...limits }, ...more });
}

/** Noise from −1 to 1 that repeats only after thousands of seconds. */
export const wavering = (s: number, salt = 0): number => {
  const x = Math.sin((s + 1) * 12.9898 + salt * 78.233) * 43758.5453;
  return 2 * (x - Math.floor(x)) - 1;
};

export interface Scene {
  plan?: Plan;
  seconds: number;
  every?: number;
  /** The readings at `s` seconds; null: no sample. */
  at: (s: number) => Readings | null;
}

export function play({ plan = scenarioPlan(), seconds, every = 1, at }: Scene): Run {
  const run = createRun(compileJob(plan));
  for (let s = 0; s <= seconds; s += every) {
    const readings = at(s);
    if (readings) advance(run, { kind: 'sample', sample: { ...emptySample(s * 1000, s * 1000), ...readings } });
  }
  return run;
}

export const eventsOf = (run: Run, kind: EventName): LoggedEvent[] =>
  run.events.events.filter((event) => event.kind === kind);
export const secondsOf = (event: LoggedEvent): [number, number | null] => [
  event.fromMs / 1000,
  event.toMs === null ? null : event.toMs / 1000,
];
export const kindsOf = (run: Run): EventName[] => run.events.events.map((event) => event.kind);
/** From `a` at `from` on a straight line to `b` at `to`, and as it is before and after. */
export const ramp = (s: number, from: number, to: number, a: number, b: number): number =>
  s <= from ? a : s >= to ? b : a + ((b - a) * (s - from)) / (to - from);
export const toCm = (m: number): number => Math.round(m * 100) / 100;

/** The string in pipe that is not to be expanded (B1: the tools at 1007 and 1011 m), pumped through and turning. */
export const circulating = (s: number, more: Readings = {}): Readings => ({
  bitDepth: 1012,
  blockPosition: 15,
  flowIn: 900 + 2 * wavering(s, 1),
  standpipePressure: 6000 + 20 * wavering(s, 2),
  rotation: 30 + 0.3 * wavering(s, 3),
  torque: 4 + 0.1 * wavering(s, 4),
  hookload: 790 + 2 * wavering(s, 5),
  ...more,
});

/** S1 rolled at 1.2 m/min from second 60 on (1015.5 to 1019.5 m at the end of the string), turning free before. */
export const rolling = (s: number, more: Readings = {}): Readings => ({
  ...circulating(s),
  bitDepth: toCm(ramp(s, 60, 300, 1015.2, 1020)),
  blockPosition: toCm(ramp(s, 60, 300, 15, 10.2)),
  standpipePressure: 9000 + 30 * wavering(s, 2),
  torque: ramp(s, 76, 86, 4, 8) + 0.2 * wavering(s, 4),
  hookload: ramp(s, 76, 86, 790, 770) + 2 * wavering(s, 5),
  ...more,
});
