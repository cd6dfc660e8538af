/**
 * A circulating sub opened by its ball: after the ball sat and the pressure peaked, the pressure at the same flow is lower than
 * before, by a clear margin.
 */
import type { Sample } from '../channels.ts';
import type { StepNumber } from '../steps.ts';
import { measure } from './condition.ts';
import type { Run } from './runState.ts';
import { logStep, stepNumber } from './stepLog.ts';

/** Pressure at a steady flow, as it was. */
interface SteadyPressure {
  /** Of flow on a scale of ratios: two flows of one class are nearly the same. */
  flowClass: number;
  flow: number;
  kpa: number;
}

export interface SubOpened {
  before: SteadyPressure[];
  /** The flow that stands now: since when, mean flow and pressure. */
  sinceMs: number;
  flow: number;
  kpa: number;
  samples: number;
  /** Highest pressure since the ball sat, and whether it has come down from it. */
  peakKpa: number;
  fell: boolean;
  /** Names of the balls that have been judged. */
  judged: string[];
}

const STEADY_MS = 20_000;
const STEADY_SHARE = 0.04;
const STEADY_L_PER_MIN = 8;
const LEAST_FLOW_L_PER_MIN = 100;
const CLASS_RATIO = 1.08;
const MOST_CLASSES = 60;
const FOLLOW = 0.1;
/** Flows may differ by this share to be compared, with pressure as flow to this power (turbulent flow, common practice). */
const SAME_FLOW_SHARE = 0.25;
const FLOW_EXPONENT = 1.9;
/** Lower by this share is open (common practice). */
const LOWER_SHARE = 0.15;
const FELL_SHARE = 0.7;

export function createSubOpened(): SubOpened {
  return {
    before: [],
    sinceMs: Number.NaN,
    flow: Number.NaN,
    kpa: Number.NaN,
    samples: 0,
    peakKpa: Number.NaN,
    fell: false,
    judged: [],
  };
}

export function advanceSubOpened(run: Run, sample: Sample, flow: number): void {
  const state = run.hanger.sub;
  const kpa = sample.standpipePressure;
  const seated = seatedBall(run);
  if (Number.isNaN(flow) || Number.isNaN(kpa) || seated === -2) return;
  const steady = follow(state, flow, kpa, sample.sourceMs);
  if (seated < 0) {
    if (steady && run.work.joint < 0) remember(state);
    return;
  }
  if (!(kpa <= state.peakKpa)) state.peakKpa = kpa;
  if (kpa < FELL_SHARE * state.peakKpa) {
    // Only what flows after the fall is to be compared.
    if (!state.fell) {
      state.fell = true;
      state.sinceMs = Number.NaN;
      return;
    }
  }
  if (state.fell && steady) judge(run, seated, sample.sourceMs);
}

/** The ball that has sat and is not judged yet; -1 while one is awaited, -2 when there is nothing to do. */
function seatedBall(run: Run): number {
  const { balls } = run.job.engineering;
  let awaited = false;
  for (let i = 0; i < balls.length; i += 1) {
    if (balls[i]!.purpose !== 'open circulating sub' || run.hanger.sub.judged.includes(balls[i]!.name)) continue;
    if (!Number.isNaN(run.hanger.balls.balls[i]!.seatedMs)) return i;
    awaited = true;
  }
  return awaited ? -1 : -2;
}

function follow(state: SubOpened, flow: number, kpa: number, atMs: number): boolean {
  const same = Math.abs(flow - state.flow) <= STEADY_SHARE * state.flow + STEADY_L_PER_MIN;
  if (Number.isNaN(state.sinceMs) || !same) {
    state.sinceMs = atMs;
    state.flow = flow;
    state.kpa = kpa;
    state.samples = 1;
    return false;
  }
  state.samples += 1;
  const gain = Math.max(FOLLOW, 1 / state.samples);
  state.flow += gain * (flow - state.flow);
  state.kpa += gain * (kpa - state.kpa);
  return state.flow >= LEAST_FLOW_L_PER_MIN && atMs - state.sinceMs >= STEADY_MS;
}

function remember(state: SubOpened): void {
  const flowClass = Math.round(Math.log(state.flow) / Math.log(CLASS_RATIO));
  for (const one of state.before) {
    if (one.flowClass !== flowClass) continue;
    one.flow = state.flow;
    one.kpa = state.kpa;
    return;
  }
  if (state.before.length < MOST_CLASSES) state.before.push({ flowClass, flow: state.flow, kpa: state.kpa });
}

function judge(run: Run, index: number, atMs: number): void {
  const state = run.hanger.sub;
  const { name } = run.job.engineering.balls[index]!;
  const { seatedMs } = run.hanger.balls.balls[index]!;
  const like = nearest(state);
  state.judged.push(name);
  const numbers: StepNumber[] = [
    stepNumber('flow', 'flow', state.flow, 0),
    stepNumber('pressure after', 'pressure', state.kpa, 0),
    stepNumber('highest pressure', 'pressure', state.peakKpa, 0),
  ];
  if (!like) {
    logStep(
      run.steps,
      'sub opened',
      name,
      seatedMs,
      atMs,
      'not proven',
      'no pressure at about this flow before',
      numbers,
    );
    return;
  }
  const before = like.kpa * (state.flow / like.flow) ** FLOW_EXPONENT;
  const lower = 1 - state.kpa / before;
  numbers.push(
    stepNumber('pressure before', 'pressure', before, 0),
    stepNumber('lower by, %', 'count', lower * 100, 1),
  );
  const opened = lower >= LOWER_SHARE;
  const detail = [
    `${opened ? 'open' : 'not open'}: `,
    measure('pressure', state.kpa, 0),
    ' at ',
    measure('flow', state.flow, 0),
    ', before the ball ',
    measure('pressure', before, 0),
  ];
  logStep(run.steps, 'sub opened', name, seatedMs, atMs, opened ? 'passed' : 'failed', detail, numbers);
  state.peakKpa = Number.NaN;
  state.fell = false;
}

function nearest(state: SubOpened): SteadyPressure | undefined {
  let best: SteadyPressure | undefined;
  for (const one of state.before) {
    const off = Math.abs(one.flow - state.flow);
    if (off > SAME_FLOW_SHARE * state.flow) continue;
    if (!best || off < Math.abs(best.flow - state.flow)) best = one;
  }
  return best;
}
