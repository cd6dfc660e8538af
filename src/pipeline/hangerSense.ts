/**
 * From ball drop to release: the evidence of every hanger step, each judged in its own file, in the order of the trip. A plan
 * without hanger and balls asks for nothing; once the expansion has begun, the hanger is behind.
 */
import type { Sample } from '../channels.ts';
import type { PhaseName } from '../phases.ts';
import type { Job } from '../plan/job.ts';
import type { StepKind } from '../steps.ts';
import { type AnnulusTest, advanceAnnulusTest, createAnnulusTest } from './annulusTest.ts';
import { advanceBallSense, type BallSense, createBallSense } from './ballSense.ts';
import { advanceFreeWeight, createFreeWeight, type FreeWeight } from './freeWeight.ts';
import { flowIntoString } from './intoString.ts';
import { advancePressureSteps, createPressureSteps, type PressureSteps } from './pressureSteps.ts';
import { advancePushPull, createPushPull, endPushPull, type PushPull } from './pushPull.ts';
import { advanceReleaseSense, createReleaseSense, endRelease, type ReleaseSense } from './releaseSense.ts';
import type { Run } from './runState.ts';
import { forgetFreeWeights } from './setDown.ts';
import { changeStep } from './stepLog.ts';
import { advanceSubOpened, createSubOpened, type SubOpened } from './subOpened.ts';

export interface HangerSense {
  /** The plan has a hanger or a ball. */
  on: boolean;
  /** Something has been expanded: the hanger was set before. */
  began: boolean;
  /** The hanger is being set, or has been: the weights before are what they are. */
  setting: boolean;
  /** Weights of the string with the liner on it. */
  before: FreeWeight;
  balls: BallSense;
  pressureSteps: PressureSteps;
  pushPull: PushPull;
  annulusTest: AnnulusTest;
  release: ReleaseSense;
  sub: SubOpened;
  /** The phase that the evidence of this sample supports, null for none of the hanger's. */
  phase: PhaseName | null;
}

/** Expanded so much, the expansion has begun, m. */
const BEGAN_M = 0.5;
/** A closed string under pressure, pumped slowly: between two steps. */
const UNDER_PRESSURE_KPA = 1_000;
const SLOW_L_PER_MIN = 260;

export function createHangerSense(job: Job): HangerSense {
  const { hanger, balls } = job.engineering;
  return {
    on: hanger !== undefined || balls.length > 0,
    began: false,
    setting: false,
    before: createFreeWeight(),
    balls: createBallSense(job),
    pressureSteps: createPressureSteps(job),
    pushPull: createPushPull(),
    annulusTest: createAnnulusTest(),
    release: createReleaseSense(),
    sub: createSubOpened(),
    phase: null,
  };
}

export function advanceHangerSense(run: Run, sample: Sample): void {
  const state = run.hanger;
  if (!state.on) return;
  state.phase = null;
  if (!state.began && hasBegun(run)) begin(run, sample.sourceMs);
  const { engineering } = run.job;
  const flow = flowIntoString(engineering.pumps, sample);
  if (engineering.balls.length > 0) {
    advanceBallSense(run, sample, flow, state.began);
    advanceSubOpened(run, sample, flow);
  }
  if (!engineering.hanger || state.began) return;
  if (!state.setting) advanceFreeWeight(state.before, run, sample);
  setHanger(run, sample, flow);
}

/** Nothing of the hanger is looked for once a tool has really expanded something. */
function hasBegun(run: Run): boolean {
  const { joint } = run.work;
  if (joint < 0) return false;
  const { expanded } = run.sweep.tallies[joint]!;
  let sum = 0;
  for (let i = 0; i < expanded.length; i += 2) sum += expanded[i + 1]! - expanded[i]!;
  return sum > BEGAN_M;
}

function begin(run: Run, atMs: number): void {
  run.hanger.began = true;
  if (!run.job.engineering.hanger) return;
  endPushPull(run, atMs);
  endRelease(run, atMs);
}

function setHanger(run: Run, sample: Sample, flow: number): void {
  const state = run.hanger;
  const plan = run.job.engineering.hanger!;
  const seated = isSeated(run);
  if (plan.steps.length > 0) advancePressureSteps(run, sample, flow, seated);
  const { pressureSteps, pushPull, annulusTest } = state;
  if (pressureSteps.seen || seated || pushPull.seen || annulusTest.seen) state.setting = true;
  if (pressureSteps.at >= 0 && (pressureSteps.step >= 0 || seated)) state.phase = 'setting hanger';
  else if (seated && isUnderPressure(run, sample, flow)) state.phase = 'setting hanger';
  const set = pressureSteps.seen || plan.steps.length === 0;
  const turned = state.release.step >= 0 || state.release.done;
  if (plan.pull && set && !turned && advancePushPull(run, sample)) state.phase = 'testing hanger';
  if (plan.annulusTest && advanceAnnulusTest(run, sample, flow)) state.phase = 'testing hanger';
  const tested =
    state.pushPull.seen || state.annulusTest.seen || (pressureSteps.seen && !plan.pull && !plan.annulusTest);
  const wasReleased = state.release.done;
  if (tested && advanceReleaseSense(run, sample, flow)) {
    state.phase = 'releasing';
    endPushPull(run, sample.sourceMs);
  }
  if (state.release.done && !wasReleased) forgetFreeWeights(run.stringWeight);
}

/** Whether the string stands or pulls on the hanger: what the hook lacks then rests on that, not on a tool. */
export const isOnHanger = ({ hanger }: Run): boolean => hanger.setting && !hanger.release.done && !hanger.began;

function isSeated(run: Run): boolean {
  const { balls } = run.hanger.balls;
  for (let i = 0; i < balls.length; i += 1) {
    if (!Number.isNaN(balls[i]!.seatedMs) && run.job.engineering.balls[i]!.purpose === 'set hanger') return true;
  }
  return false;
}

/** Steps are left, and the string holds a pressure that its flow could not make with an open end. */
function isUnderPressure({ hanger }: Run, sample: Sample, flow: number): boolean {
  return (
    hanger.pressureSteps.done.includes(false) && sample.standpipePressure > UNDER_PRESSURE_KPA && flow <= SLOW_L_PER_MIN
  );
}

/** A new plan: what it leaves as it was goes on; of steps that it changes, what has passed stays passed by name. */
export function keepHangerSense(run: Run, before: Job): void {
  const was = before.engineering;
  const now = run.job.engineering;
  const old = run.hanger;
  const next = createHangerSense(run.job);
  const underway = new Set<number>();
  const keep = <P extends Part>(part: P, then: unknown, today: unknown, steps: readonly number[]): boolean => {
    if (JSON.stringify(then) !== JSON.stringify(today)) return false;
    next[part] = old[part];
    for (const step of steps) underway.add(step);
    return true;
  };
  next.began = old.began;
  next.setting = old.setting;
  next.before = old.before;
  next.sub = old.sub;
  keepBalls(old.balls, next.balls);
  for (const { step } of next.balls.balls) underway.add(step);
  if (!keep('pressureSteps', was.hanger?.steps, now.hanger?.steps, [old.pressureSteps.step])) {
    const passed = new Set(
      (was.hanger?.steps ?? []).filter((_, i) => old.pressureSteps.done[i]).map(({ name }) => name),
    );
    next.pressureSteps.done = (now.hanger?.steps ?? []).map(({ name }) => passed.has(name));
    next.pressureSteps.seen = old.pressureSteps.seen;
    next.pressureSteps.flowAlive = old.pressureSteps.flowAlive;
  }
  if (!keep('pushPull', was.hanger?.pull, now.hanger?.pull, [old.pushPull.step]))
    next.pushPull.seen = old.pushPull.seen;
  if (!keep('annulusTest', was.hanger?.annulusTest, now.hanger?.annulusTest, [old.annulusTest.step]))
    next.annulusTest.seen = old.annulusTest.seen;
  keep('release', null, null, [old.release.step]);
  run.hanger = next;
  endOpenSteps(run, underway);
}

type Part = 'pressureSteps' | 'pushPull' | 'annulusTest' | 'release';

/** Balls are known by their names. */
function keepBalls(old: BallSense, next: BallSense): void {
  const balls = next.balls.map((ball) => old.balls.find(({ name }) => name === ball.name) ?? ball);
  Object.assign(next, old, { balls });
}

const OF_THE_HANGER: ReadonlySet<StepKind> = new Set([
  'ball',
  'pressure step',
  'push and pull',
  'annulus test',
  'release',
]);

/** Steps that the new plan no longer has, or has otherwise. */
function endOpenSteps(run: Run, underway: ReadonlySet<number>): void {
  run.steps.steps.forEach((step, i) => {
    if (step.outcome !== 'open' || underway.has(i) || !OF_THE_HANGER.has(step.kind)) return;
    changeStep(run.steps, i, { toMs: run.lastMs, outcome: 'not proven', detail: 'another plan came into force' });
  });
}
