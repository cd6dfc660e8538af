/**
 * The pressure steps that set a hanger: a plateau at the pressure of a step of the plan with the pumps stopped, or the sharp
 * fall of one that shears.
 *
 * P1 A plateau lies within the band about the step's pressure while hardly anything is pumped. Pumping starts its clock anew:
 *    a pressure that must be kept up is not held. So does a hole in the data.
 * P2 Held for the plan's time: passed. Falling slowly out of the band, or by as much as the band is wide, before that: failed. Let off, or pumped on to the next
 *    step before that: not proven.
 * P3 A step that shears is passed by a sharp fall from its pressure, pumps on or off; pressure well above it, or held for its
 *    time and let off without one, fails it.
 * P4 A step that failed or was not proven may be taken again; each attempt is a step of the record.
 */
import type { Sample } from '../channels.ts';
import { fitLine } from '../engineering/lineFit.ts';
import { median } from '../engineering/robust.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { PressureStep } from '../plan/engineering.ts';
import type { Job } from '../plan/job.ts';
import type { StepNumber, StepOutcome } from '../steps.ts';
import { measure } from './condition.ts';
import { logEvent } from './eventLog.ts';
import { TURNS_ABOVE_RPM } from './freeWeight.ts';
import { gapAfterMs, periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';

export interface PressureSteps {
  done: boolean[];
  /** Step of the plan whose pressure stands now, -1 for none. */
  at: number;
  /** Its place in the log, -1 before it has stood long enough. */
  step: number;
  fromMs: number;
  /** Start of the clock, which pumping starts anew. */
  sinceMs: number;
  topKpa: number;
  /** Of the hold, once it has settled; NaN before. */
  startKpa: number;
  /** Readings of the plateau, thinned. */
  times: number[];
  kpas: number[];
  everyMs: number;
  /** Since when the pressure is out of the band, NaN while it is inside, and the last time and pressure inside. */
  outMs: number;
  insideMs: number;
  insideKpa: number;
  /** Samples in a row with the pumps running, and the time of the last sample. */
  pumping: number;
  lastMs: number;
  /** A hold has failed: what is left of its pressure is no new attempt until it is pumped up again. */
  waits: boolean;
  /** Any step has been seen in this run. */
  seen: boolean;
  /** The pumps have been seen running: a flow that never moved says nothing. */
  flowAlive: boolean;
}

/** Band about a step's pressure: below as a share, above as the pumps overshoot (common practice). */
const BAND_BELOW = 0.05;
const BAND_ABOVE = 0.08;
/** A shear comes at its pressure to within this share. */
const SHEAR_FROM = 0.1;
const SHEAR_PASSED = 0.15;
/** Less than this is not pumping, and more than this is not the slow pumping of a step, L/min. */
const STOPPED_L_PER_MIN = 40;
const SLOW_L_PER_MIN = 260;
const PUMPS_SEEN_L_PER_MIN = 60;
/** A plateau is one from this long, ms; the pressure has left it when it is out for this long. */
const PLATEAU_MS = 20_000;
const OUT_MS = 10_000;
/** Fallen to this share within this time and a frame, it fell sharply; fallen to the other within `OUT_MS`, it was let off. */
const SHARP_SHARE = 0.5;
const SHARP_MS = 4_000;
const LET_OFF_SHARE = 0.85;
const SETTLED_MS = 15_000;
const MOST_READINGS = 1_000;
const FEWEST_READINGS = 5;

export function createPressureSteps(job: Job): PressureSteps {
  return {
    done: (job.engineering.hanger?.steps ?? []).map(() => false),
    at: -1,
    step: -1,
    fromMs: Number.NaN,
    sinceMs: Number.NaN,
    topKpa: Number.NaN,
    startKpa: Number.NaN,
    times: [],
    kpas: [],
    everyMs: 1_000,
    outMs: Number.NaN,
    insideMs: Number.NaN,
    insideKpa: Number.NaN,
    pumping: 0,
    lastMs: Number.NaN,
    waits: false,
    seen: false,
    flowAlive: false,
  };
}

/** @param closed whether a ball is known to shut the string's end */
export function advancePressureSteps(run: Run, sample: Sample, flow: number, closed: boolean): void {
  const state = run.hanger.pressureSteps;
  const kpa = sample.standpipePressure;
  if (flow > PUMPS_SEEN_L_PER_MIN) state.flowAlive = true;
  if (Number.isNaN(kpa) || Number.isNaN(flow)) return;
  const gap = sample.sourceMs - state.lastMs > gapAfterMs(run.period, run.job.stream.gapAfterMs);
  state.lastMs = sample.sourceMs;
  // One reading of flow among many without is a spike, unless the frames are far apart.
  state.pumping = flow > STOPPED_L_PER_MIN ? state.pumping + 1 : 0;
  const pumps = state.pumping >= (periodMs(run.period) >= OUT_MS / 4 ? 1 : 2);
  if (pumps) state.waits = false;
  if (state.at >= 0 && (gap || pumps)) startAnew(run, sample.sourceMs, gap);
  if (state.at < 0) {
    if (state.waits || !state.flowAlive || sample.rotation > TURNS_ABOVE_RPM || run.slips.in) return;
    const found = stepAt(run, kpa, flow, closed || state.seen);
    if (found >= 0) begin(state, found, sample.sourceMs, kpa);
    return;
  }
  const planned = run.job.engineering.hanger!.steps[state.at]!;
  if (isInside(planned, kpa, flow) && !isLost(state, planned, kpa)) stay(run, planned, sample.sourceMs, kpa, flow);
  else leave(run, planned, sample.sourceMs, kpa, flow);
}

function isInside(planned: PressureStep, kpa: number, flow: number): boolean {
  const { pressureKpa, shears } = planned;
  if (shears)
    return kpa >= pressureKpa * (1 - SHEAR_FROM) && kpa <= pressureKpa * (1 + SHEAR_PASSED) && flow <= SLOW_L_PER_MIN;
  return kpa >= pressureKpa * (1 - BAND_BELOW) && kpa <= pressureKpa * (1 + BAND_ABOVE) && flow <= SLOW_L_PER_MIN;
}

/** P2: more than the band's share of what the hold began with is gone, though the overshoot still keeps it in the band. */
const isLost = (state: PressureSteps, { shears }: PressureStep, kpa: number): boolean =>
  !shears && kpa < state.startKpa * (1 - BAND_BELOW);

/** The step that is not passed yet and whose pressure is the nearest, -1 for none. */
function stepAt(run: Run, kpa: number, flow: number, closed: boolean): number {
  const { done } = run.hanger.pressureSteps;
  const { steps } = run.job.engineering.hanger!;
  if (flow > STOPPED_L_PER_MIN && !closed) return -1;
  let best = -1;
  for (let i = 0; i < steps.length; i += 1) {
    if (done[i]) continue;
    if (best < 0 || Math.abs(kpa - steps[i]!.pressureKpa) < Math.abs(kpa - steps[best]!.pressureKpa)) best = i;
  }
  if (best < 0 || !isInside(steps[best]!, kpa, flow)) return -1;
  return steps[best]!.shears || flow <= STOPPED_L_PER_MIN ? best : -1;
}

function begin(state: PressureSteps, at: number, atMs: number, kpa: number): void {
  state.at = at;
  state.step = -1;
  state.fromMs = state.sinceMs = state.insideMs = atMs;
  state.topKpa = state.insideKpa = kpa;
  state.startKpa = Number.NaN;
  state.outMs = Number.NaN;
  state.times = [atMs];
  state.kpas = [kpa];
  state.everyMs = 1_000;
}

function stay(run: Run, planned: PressureStep, atMs: number, kpa: number, flow: number): void {
  const state = run.hanger.pressureSteps;
  state.outMs = Number.NaN;
  state.insideMs = atMs;
  state.insideKpa = kpa;
  if (kpa > state.topKpa) state.topKpa = kpa;
  if (flow > STOPPED_L_PER_MIN) return;
  keepReading(state, atMs, kpa);
  if (Number.isNaN(state.startKpa) && atMs - state.sinceMs >= SETTLED_MS) state.startKpa = median(state.kpas);
  if (state.step < 0) {
    if (atMs - state.sinceMs < PLATEAU_MS) return;
    state.seen = true;
    state.step = logStep(
      run.steps,
      'pressure step',
      planned.name,
      state.sinceMs,
      null,
      'open',
      'held',
      numbersOf(state),
    );
  }
  const held = atMs - state.sinceMs;
  if (planned.shears || state.done[state.at] || held < planned.holdMs) return;
  state.done[state.at] = true;
  const detail = [
    'held ',
    measure('pressure', kpa, 0),
    ` after ${minutes(held)} min, ${minutes(planned.holdMs)} wanted`,
  ];
  changeStep(run.steps, state.step, { outcome: 'passed', detail, numbers: numbersOf(state) });
}

/** The clock of a hold starts anew; one that has passed is over. */
function startAnew(run: Run, atMs: number, gap: boolean): void {
  const state = run.hanger.pressureSteps;
  if (state.done[state.at]) {
    changeStep(run.steps, state.step, { toMs: state.insideMs, numbers: numbersOf(state) });
    state.at = -1;
    return;
  }
  state.sinceMs = atMs;
  if (gap) state.insideMs = atMs;
  state.times.length = state.kpas.length = 0;
  state.startKpa = Number.NaN;
}

function keepReading(state: PressureSteps, atMs: number, kpa: number): void {
  const { times, kpas } = state;
  if (times.length > 0 && atMs - times[times.length - 1]! < state.everyMs) return;
  times.push(atMs);
  kpas.push(kpa);
  if (times.length < MOST_READINGS) return;
  state.times = times.filter((_, i) => i % 2 === 0);
  state.kpas = kpas.filter((_, i) => i % 2 === 0);
  state.everyMs *= 2;
}

/** Out of the band: why is seen when it has been out for a while, or at once when the pressure falls far. */
function leave(run: Run, planned: PressureStep, atMs: number, kpa: number, flow: number): void {
  const state = run.hanger.pressureSteps;
  if (Number.isNaN(state.outMs)) state.outMs = atMs;
  const sharp = kpa <= SHARP_SHARE * state.insideKpa && atMs - state.insideMs <= SHARP_MS + 2 * periodMs(run.period);
  // One low reading is a spike; two in a row are a fall.
  if (atMs - state.outMs < OUT_MS && !(sharp && atMs > state.outMs)) return;
  if (planned.shears) endShear(run, planned, kpa, sharp);
  else endHold(run, planned, kpa, flow);
  state.at = -1;
}

function endShear(run: Run, planned: PressureStep, kpa: number, sharp: boolean): void {
  const state = run.hanger.pressureSteps;
  const held = state.insideMs - state.sinceMs;
  if (sharp) {
    const detail = [
      'sheared at ',
      measure('pressure', state.topKpa, 0),
      ', planned ',
      measure('pressure', planned.pressureKpa, 0),
    ];
    state.done[state.at] = true;
    end(run, planned, 'passed', detail, [stepNumber('shear pressure', 'pressure', state.topKpa, 0)]);
  } else if (kpa > planned.pressureKpa) {
    const detail = ['pressure went up to ', measure('pressure', kpa, 0), ' without a sharp fall'];
    end(run, planned, 'failed', detail);
  } else if (held >= planned.holdMs) {
    end(run, planned, 'failed', [
      'let off after ',
      `${minutes(held)} min at `,
      measure('pressure', state.topKpa, 0),
      ' without a sharp fall',
    ]);
  } else if (state.step >= 0) end(run, planned, 'not proven', 'let off before its time, without a sharp fall');
}

function endHold(run: Run, planned: PressureStep, kpa: number, flow: number): void {
  const state = run.hanger.pressureSteps;
  if (state.step < 0) return;
  const held = `${minutes(state.insideMs - state.sinceMs)} min of ${minutes(planned.holdMs)}`;
  if (state.done[state.at]) {
    changeStep(run.steps, state.step, { toMs: state.insideMs, numbers: numbersOf(state) });
  } else if (kpa > planned.pressureKpa || flow > STOPPED_L_PER_MIN)
    end(run, planned, 'not proven', `pumped on after ${held}`);
  else if (kpa < LET_OFF_SHARE * state.insideKpa) end(run, planned, 'not proven', `let off after ${held}`);
  else {
    const lost = state.topKpa - kpa;
    end(run, planned, 'failed', ['lost ', measure('pressure', lost, 0), ` with the pumps stopped, in ${held}`]);
  }
}

function end(
  run: Run,
  planned: PressureStep,
  outcome: StepOutcome,
  detail: MeasuredText,
  more: StepNumber[] = [],
): void {
  const state = run.hanger.pressureSteps;
  const numbers = [...numbersOf(state), ...more];
  state.seen = true;
  if (state.step < 0)
    logStep(run.steps, 'pressure step', planned.name, state.fromMs, state.insideMs, outcome, detail, numbers);
  else changeStep(run.steps, state.step, { toMs: state.insideMs, outcome, detail, numbers });
  if (outcome !== 'failed') return;
  state.waits = true;
  const words = typeof detail === 'string' ? [detail] : detail;
  logEvent(run.events, 'test not passed', null, Number.NaN, state.fromMs, state.insideMs, [
    `${planned.name}: `,
    ...words,
  ]);
}

const minutes = (ms: number): string => (ms / 60_000).toFixed(1);

function numbersOf(state: PressureSteps): StepNumber[] {
  const numbers = [
    stepNumber('highest pressure', 'pressure', state.topKpa, 0),
    stepNumber('minutes held', 'count', (state.insideMs - state.sinceMs) / 60_000, 1),
  ];
  if (state.times.length < FEWEST_READINGS) return numbers;
  const line = fitLine(
    state.times.map((ms) => (ms - state.times[0]!) / 60_000),
    state.kpas,
  );
  if (line) numbers.push(stepNumber('decline a minute', 'pressure', -line.slope, 1));
  return numbers;
}
