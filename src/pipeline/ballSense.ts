/**
 * A ball on its way to its seat. Let go by an entry of the journal: the volume pumped since then is held against what the
 * string holds down to the seat. Without the entry only the seating is recognised.
 *
 * B1 Seated: at a flow no higher than some moments ago the pressure is much higher now. No relation of pressure and flow
 *    explains that; a rise of flow would.
 * B2 Pumped volume: flow × time, or strokes × displacement where no flow is read; over a hole in the data by the stroke count
 *    where there is one, else by the flow, and the step says how long the hole was.
 * B3 The ball moves with the fluid, and falls through it besides: the volume to the seat is the latest (common practice).
 */
import type { Sample } from '../channels.ts';
import { pipeCapacityM3PerM, stringVolumeM3 } from '../engineering/volumes.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { Ball } from '../plan/engineering.ts';
import type { Job } from '../plan/job.ts';
import type { StepNumber } from '../steps.ts';
import { measure } from './condition.ts';
import { changeEvent, logEvent } from './eventLog.ts';
import { hungString } from './hungString.ts';
import { gapAfterMs, periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';
import {
  createUnexplainedRise,
  endRise,
  forgetRise,
  isUnexplained,
  rememberFlow,
  type UnexplainedRise,
} from './unexplainedRise.ts';

/** What has been reached on the way down, in order. */
const MILESTONES = ['on its way', 'slow down', 'due', 'overdue'] as const;

export interface BallState {
  name: string;
  droppedMs: number;
  predictedM3: number;
  pumpedM3: number;
  unseenMs: number;
  countAtDrop: number;
  /** Index into `MILESTONES`. */
  milestone: number;
  /** Index of the step and of the overdue event, -1 for none. */
  step: number;
  event: number;
  numbersMs: number;
  seatedMs: number;
  riseKpa: number;
  /** Nothing more is looked for. */
  over: boolean;
}

export interface BallSense {
  balls: BallState[];
  rise: UnexplainedRise;
  lastMs: number;
  lastFlow: number;
  earlierFlow: number;
  lastCount: number;
}

/** How long the rise must be held (common practice). */
const RISE_MS = 5_000;
const RISE_SAMPLES = 3;
/** Pumps faster than this share over the planned flow are not pumping a ball onto its seat. */
const OVER_PLAN = 1.3;
const NUMBERS_EVERY_MS = 10_000;

export function createBallSense(job: Job): BallSense {
  return {
    balls: job.engineering.balls.map((ball) => createBall(ball.name)),
    rise: createUnexplainedRise(),
    lastMs: Number.NaN,
    lastFlow: Number.NaN,
    earlierFlow: Number.NaN,
    lastCount: Number.NaN,
  };
}

const createBall = (name: string): BallState => ({
  name,
  droppedMs: Number.NaN,
  predictedM3: Number.NaN,
  pumpedM3: 0,
  unseenMs: 0,
  countAtDrop: Number.NaN,
  milestone: 0,
  step: -1,
  event: -1,
  numbersMs: Number.NaN,
  seatedMs: Number.NaN,
  riseKpa: Number.NaN,
  over: false,
});

/** Lets a ball of the plan go. Returns what came of it, for the journal. */
export function dropBall(run: Run, name: string, atMs: number): string {
  const state = run.hanger.balls;
  const index = state.balls.findIndex((ball) => ball.name === name);
  if (index < 0) return `no ball "${name}"`;
  const before = state.balls[index]!;
  if (!before.over && before.step >= 0) return `${name}: let go already`;
  const planned = run.job.engineering.balls[index]!;
  const ball = createBall(name);
  state.balls[index] = ball;
  ball.droppedMs = ball.numbersMs = atMs;
  ball.countAtDrop = state.lastCount;
  const hung = hungString(run.job, run.endDepth.depth);
  if (hung.length > 0) ball.predictedM3 = stringVolumeM3(hung, 0, planned.seatM) + belowEnd(run, hung, planned.seatM);
  ball.step = logStep(run.steps, 'ball', name, atMs, null, 'open', saysOf(ball, planned), numbersOf(run, ball, atMs));
  return `${name}: let go`;
}

/** A seat below the string's end, as the plan sees it, lies in the tools: the string's last bore goes on to it, m³. */
function belowEnd(run: Run, hung: ReturnType<typeof hungString>, seatM: number): number {
  const last = hung[hung.length - 1]!;
  const below = Math.max(0, seatM - last.toM);
  return below > 0 && below < run.endDepth.depth ? below * pipeCapacityM3PerM(last.section.idMm) : 0;
}

export function advanceBallSense(run: Run, sample: Sample, flow: number, began: boolean): void {
  const state = run.hanger.balls;
  const atMs = sample.sourceMs;
  pump(run, state, sample, flow);
  const kpa = sample.standpipePressure;
  if (!Number.isNaN(flow) && !Number.isNaN(kpa)) {
    if (atMs - state.lastMs > gapAfterMs(run.period, run.job.stream.gapAfterMs)) forgetRise(state.rise);
    const index = awaited(run, sample, flow, began);
    if (index < 0) endRise(state.rise);
    else if (isUnexplained(state.rise, atMs, flow, kpa)) land(run, index, atMs, kpa);
    rememberFlow(state.rise, atMs, flow, kpa);
  }
  state.lastMs = atMs;
  if (!Number.isNaN(flow)) {
    state.earlierFlow = state.lastFlow;
    state.lastFlow = flow;
  }
  if (!Number.isNaN(sample.strokeCount)) state.lastCount = sample.strokeCount;
  for (let i = 0; i < state.balls.length; i += 1) follow(run, i, atMs, began);
}

function pump(run: Run, state: BallSense, sample: Sample, flow: number): void {
  const dtMs = sample.sourceMs - state.lastMs;
  if (!(dtMs > 0) || !isAnyOnItsWay(state)) return;
  const unseen = dtMs > gapAfterMs(run.period, run.job.stream.gapAfterMs);
  const flows = steadied(state, flow);
  let m3 = Number.isNaN(flows) ? 0 : (flows * dtMs) / 60_000_000;
  const counted = (sample.strokeCount - state.lastCount) * litresPerStroke(run.job);
  if (unseen && counted >= 0) m3 = counted / 1000;
  for (const ball of state.balls) {
    if (!isOnItsWay(ball)) continue;
    ball.pumpedM3 += m3;
    if (unseen) ball.unseenMs += dtMs;
  }
}

function isAnyOnItsWay({ balls }: BallSense): boolean {
  for (let i = 0; i < balls.length; i += 1) if (isOnItsWay(balls[i]!)) return true;
  return false;
}

const isOnItsWay = (ball: BallState): boolean => ball.step >= 0 && !ball.over && Number.isNaN(ball.seatedMs);

/** The middle one of three flows: a reading that leaps for one sample pumps nothing. The last known where none is read. */
function steadied({ earlierFlow, lastFlow }: BallSense, flow: number): number {
  if (Number.isNaN(flow)) return lastFlow;
  if (Number.isNaN(earlierFlow)) return flow;
  return Math.max(Math.min(earlierFlow, lastFlow), Math.min(Math.max(earlierFlow, lastFlow), flow));
}

/** Of all pumps, where they deliver the same; NaN else. */
function litresPerStroke(job: Job): number {
  const { pumps } = job.engineering;
  const first = pumps[0]?.litresPerStroke ?? Number.NaN;
  return pumps.every((one) => Math.abs(one.litresPerStroke - first) < 1e-6) ? first : Number.NaN;
}

/** Which ball may be landing at this sample, -1 for none. */
function awaited(run: Run, sample: Sample, flow: number, began: boolean): number {
  const planned = run.job.engineering.balls;
  const { balls } = run.hanger.balls;
  for (let i = 0; i < balls.length; i += 1) {
    const ball = balls[i]!;
    if (isOnItsWay(ball) && flow <= OVER_PLAN * planned[i]!.flowLPerMin) return i;
  }
  // One that nobody wrote down: only in its place in the trip, pumped slowly, with the string neither turning nor at work.
  if (sample.rotation > 2 || run.work.joint >= 0 || run.slips.in) return -1;
  for (let i = 0; i < balls.length; i += 1) {
    if (balls[i]!.step >= 0 || balls[i]!.over || flow > OVER_PLAN * planned[i]!.slowFlowLPerMin) continue;
    // The sub is opened to pull out: not before the last joint has been come to.
    if (planned[i]!.purpose === 'open circulating sub' ? began && isAtLastJoint(run) : !began) return i;
  }
  return -1;
}

function isAtLastJoint({ job, sweep }: Run): boolean {
  for (let i = job.joints.length - 1; i >= 0; i -= 1)
    if (job.joints[i]!.recipe) return sweep.tallies[i]!.expanded.length > 0;
  return false;
}

/** A rise stands: held long enough, it is the ball on its seat. */
function land(run: Run, index: number, atMs: number, kpa: number): void {
  const { rise } = run.hanger.balls;
  const period = periodMs(run.period);
  const enough = period >= RISE_MS / 2 ? 2 : RISE_SAMPLES;
  if (rise.samples < enough || atMs - rise.sinceMs < Math.min(RISE_MS, (enough - 1) * period)) return;
  seat(run, index, rise.sinceMs, kpa - rise.fromKpa);
  endRise(rise);
}

function seat(run: Run, index: number, atMs: number, riseKpa: number): void {
  const ball = run.hanger.balls.balls[index]!;
  const planned = run.job.engineering.balls[index]!;
  ball.seatedMs = atMs;
  ball.riseKpa = riseKpa;
  const detail = saysOf(ball, planned);
  const numbers = numbersOf(run, ball, atMs);
  if (ball.step < 0) ball.step = logStep(run.steps, 'ball', ball.name, atMs, atMs, 'passed', detail, numbers);
  else changeStep(run.steps, ball.step, { toMs: atMs, outcome: 'passed', detail, numbers });
  if (ball.event >= 0) changeEvent(run.events, ball.event, atMs, run.events.events[ball.event]!.detail);
}

/** Milestones of a ball on its way, and the end of one that never came. */
function follow(run: Run, index: number, atMs: number, began: boolean): void {
  const ball = run.hanger.balls.balls[index]!;
  if (!isOnItsWay(ball)) return;
  const planned = run.job.engineering.balls[index]!;
  const reached = milestoneOf(ball, planned);
  if (reached > ball.milestone) {
    ball.milestone = reached;
    if (reached === 3) raiseOverdue(run, ball, planned, atMs);
  } else if (atMs - ball.numbersMs < NUMBERS_EVERY_MS && !began) return;
  ball.numbersMs = atMs;
  const numbers = numbersOf(run, ball, atMs);
  if (began && planned.purpose === 'set hanger') {
    ball.over = true;
    changeStep(run.steps, ball.step, { toMs: atMs, outcome: 'not proven', detail: saysOf(ball, planned), numbers });
    if (ball.event >= 0) changeEvent(run.events, ball.event, atMs, run.events.events[ball.event]!.detail);
  } else changeStep(run.steps, ball.step, { detail: saysOf(ball, planned), numbers });
}

function milestoneOf(ball: BallState, planned: Ball): number {
  if (Number.isNaN(ball.predictedM3)) return 0;
  if (ball.pumpedM3 > ball.predictedM3 + planned.overdueAfterM3) return 3;
  if (ball.pumpedM3 >= ball.predictedM3) return 2;
  return ball.pumpedM3 >= ball.predictedM3 - planned.slowBeforeM3 ? 1 : 0;
}

function raiseOverdue(run: Run, ball: BallState, planned: Ball, atMs: number): void {
  const detail: MeasuredText = [
    `${ball.name}: `,
    measure('volume', ball.pumpedM3, 2),
    ' pumped, ',
    measure('volume', ball.predictedM3, 2),
    ' to its seat, and no rise of pressure',
  ];
  ball.event = logEvent(run.events, 'ball overdue', null, planned.seatM, atMs, null, detail);
}

function saysOf(ball: BallState, planned: Ball): MeasuredText {
  if (!Number.isNaN(ball.seatedMs)) {
    const rose: MeasuredText = [
      'on its seat: pressure rose by ',
      measure('pressure', ball.riseKpa, 0),
      ' at no more flow',
    ];
    return Number.isNaN(ball.droppedMs) ? [...rose, '; when it was let go was not written down'] : rose;
  }
  const unseen = ball.unseenMs > 0 ? `; ${(ball.unseenMs / 1000).toFixed(0)} s without data` : '';
  if (Number.isNaN(ball.predictedM3)) return `on its way; the plan has no string to work its travel out${unseen}`;
  switch (MILESTONES[ball.milestone]!) {
    case 'on its way':
      return `on its way${unseen}`;
    case 'slow down':
      return ['slow down to ', measure('flow', planned.slowFlowLPerMin, 0), `: near its seat${unseen}`];
    case 'due':
      return `should be on its seat${unseen}`;
    case 'overdue':
      return `overdue${unseen}`;
  }
}

function numbersOf(run: Run, ball: BallState, atMs: number): StepNumber[] {
  const numbers: StepNumber[] = [];
  if (!Number.isNaN(ball.droppedMs)) {
    numbers.push(stepNumber('volume pumped', 'volume', ball.pumpedM3, 2));
    if (!Number.isNaN(ball.predictedM3)) numbers.push(stepNumber('volume predicted', 'volume', ball.predictedM3, 2));
    numbers.push(stepNumber('minutes', 'count', Math.max(0, atMs - ball.droppedMs) / 60_000, 1));
    const strokes = run.hanger.balls.lastCount - ball.countAtDrop;
    if (strokes >= 0) numbers.push(stepNumber('strokes', 'count', strokes, 0));
  }
  if (!Number.isNaN(ball.riseKpa)) numbers.push(stepNumber('pressure rise', 'pressure', ball.riseKpa, 0));
  return numbers;
}
