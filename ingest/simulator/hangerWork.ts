/**
 * From ball drop to release, before the expansion: weights, the ball, the pressure steps, push and pull, the annulus test, the
 * release. What goes wrong on the way is chosen by the scenario; the driller meets it and does the step again.
 */
import type { Ball, PressureStep } from '../../src/plan/engineering.ts';
import { type Floor, halt, moveTo, type Work, wait, waitUntil } from './floor.ts';
import { volumeTo } from './hold.ts';
import { LITRES_PER_STROKE, STEP_S } from './rig.ts';
import type { HangerFault } from './scenario.ts';
import { buoyedWeightKn } from './stringWeight.ts';

const WEIGH_M = 3;
const WEIGH_M_PER_MIN = 4;
const STRETCH_M_PER_MIN = 1;
/** The ball lands so much before the string's volume is pumped (it falls as well), or after it when it is late. */
const EARLY_SHARE = 0.03;
const LATE_OVER_MARGIN = 1.6;
/** Slow pumping of the pressure steps, L/min. */
const STEP_L_PER_MIN = 90;
const OVER_STEP = 1.015;
const LEAK_PER_MIN = 0.03;
const SLIDE_M = 0.5;
const OVER_FORCE = 1.04;
const RELEASE = { rpm: 8, seconds: 45 } as const;
const HELD_OVER_KN = 60;
const ANNULUS = { over: 1.02, settlesShare: 0.012, leakPerMin: 0.03, longestS: 7200 } as const;
/** Drag of the free string, as the rig has it. */
const DRAG = { up: 0.08, down: 0.06 } as const;

const has = ({ scenario }: Floor, fault: HangerFault): boolean => scenario.hanger!.faults.includes(fault);

export function* setHanger(floor: Floor): Work {
  const { rig, truth } = floor;
  const { balls, hanger } = rig.job.engineering;
  truth.phase = 'waiting';
  yield* wait(20);
  yield* weigh(floor);
  const ball = balls.find(({ purpose }) => purpose === 'set hanger');
  if (ball) yield* pumpBall(floor, ball, has(floor, 'ball overdue'));
  if (!hanger) return;
  yield* pressureSteps(floor, hanger.steps);
  hangOff(floor);
  if (hanger.pull) yield* pushAndPull(floor, hanger.pull);
  if (hanger.annulusTest) yield* testAnnulus(floor, hanger.annulusTest);
  yield* release(floor);
}

/** Up and down over some metres without turning: the free weights. */
function* weigh({ rig, truth }: Floor): Work {
  const at = rig.state.endDepth;
  truth.phase = 'picking up';
  yield* moveTo(rig, at - WEIGH_M, WEIGH_M_PER_MIN);
  yield* wait(15);
  truth.phase = 'running in';
  yield* moveTo(rig, at, WEIGH_M_PER_MIN);
  yield* wait(15);
}

export function* pumpBall(floor: Floor, ball: Ball, late: boolean): Work {
  const { rig, truth } = floor;
  const { state, controls, job } = rig;
  truth.phase = 'circulating';
  controls.flowLPerMin = ball.flowLPerMin;
  yield* wait(90);
  controls.flowLPerMin = 0;
  yield* wait(30);
  const predicted = volumeTo(job, state.endDepth, ball.seatM);
  const lands = late ? predicted + LATE_OVER_MARGIN * ball.overdueAfterM3 : predicted * (1 - EARLY_SHARE);
  const fromMs = state.timeMs;
  const from = state.strokes;
  const pumped = () => ((state.strokes - from) * LITRES_PER_STROKE) / 1000;
  controls.flowLPerMin = ball.flowLPerMin;
  yield* waitUntil(() => pumped() >= predicted - ball.slowBeforeM3, 86_400);
  controls.flowLPerMin = ball.slowFlowLPerMin;
  yield* waitUntil(() => pumped() >= lands, 86_400);
  rig.hold.shut = true;
  truth.did('ball', ball.name, fromMs, { pumpedM3: pumped(), predictedM3: predicted });
  truth.phase = 'setting hanger';
  const seat = state.pressure;
  yield* waitUntil(() => state.pressure > seat + 2_500, 300);
  controls.flowLPerMin = 0;
  yield* wait(20);
}

function* pressureSteps(floor: Floor, steps: readonly PressureStep[]): Work {
  const { rig, truth } = floor;
  const { state, controls, hold } = rig;
  truth.phase = 'setting hanger';
  hold.shut = true;
  const leaky = has(floor, 'step leaks') ? steps.find(({ shears }) => !shears) : undefined;
  for (const step of steps) {
    if (step.shears) {
      yield* shear(floor, step);
      continue;
    }
    if (step === leaky) {
      yield* pumpTo(floor, step.pressureKpa * OVER_STEP);
      const fromMs = state.timeMs;
      hold.leakPerMin = LEAK_PER_MIN;
      yield* waitUntil(() => state.pressure < step.pressureKpa * 0.9, step.holdMs / 1000 + 600);
      hold.leakPerMin = 0;
      truth.did('step leaks', step.name, fromMs, {});
    }
    yield* pumpTo(floor, step.pressureKpa * OVER_STEP);
    const fromMs = state.timeMs;
    yield* wait(step.holdMs / 1000 + 25);
    truth.did('pressure step', step.name, fromMs, { kpa: state.pressure });
  }
  controls.flowLPerMin = 0;
  hold.letOff = true;
  yield* waitUntil(() => state.pressure < 100, 120);
  hold.letOff = false;
  hold.shut = false;
}

function* pumpTo({ rig }: Floor, kpa: number): Work {
  const { state, controls } = rig;
  controls.flowLPerMin = STEP_L_PER_MIN;
  // What the pumps still deliver while they run down is about this.
  yield* waitUntil(() => state.pressure >= kpa * 0.985, 1800);
  controls.flowLPerMin = 0;
  yield* wait(5);
}

function* shear({ rig, truth }: Floor, step: PressureStep): Work {
  const { state, controls, hold } = rig;
  hold.shut = true;
  const fromMs = state.timeMs;
  controls.flowLPerMin = STEP_L_PER_MIN;
  yield* waitUntil(() => state.pressure >= step.pressureKpa, 1800);
  const kpa = state.pressure;
  hold.shut = false;
  yield* wait(10);
  controls.flowLPerMin = 0;
  truth.did('pressure step', step.name, fromMs, { kpa });
  yield* wait(20);
}

/** The slips of the hanger hold: from here on the string gives only elastically. */
function hangOff({ rig }: Floor): void {
  const { state, hold, setUp } = rig;
  hold.fixed = { endDepth: state.endDepth, kn: buoyedWeightKn(setUp.engineering, state.endDepth) + hold.linerKn };
}

/** Moves the block until this load hangs below the hook, but no further than `mostM`. */
function* loadTo({ rig }: Floor, kn: number, mostM = 4): Work {
  const { state, controls } = rig;
  const from = state.endDepth;
  const up = kn > state.belowHookKn;
  controls.speedMPerMin = up ? -STRETCH_M_PER_MIN : STRETCH_M_PER_MIN;
  yield* waitUntil(
    () => (up ? state.belowHookKn >= kn : state.belowHookKn <= kn) || Math.abs(state.endDepth - from) > mostM,
    (mostM / STRETCH_M_PER_MIN) * 60 + 10,
  );
  yield* halt(rig);
}

function* pushAndPull(floor: Floor, plan: { upKn: number; downKn: number }): Work {
  const { rig, truth } = floor;
  const { state, hold } = rig;
  truth.phase = 'testing hanger';
  const weight = hold.fixed!.kn;
  const pull = weight * (1 + DRAG.up) + plan.upKn * OVER_FORCE;
  const push = weight * (1 - DRAG.down) - plan.downKn * OVER_FORCE;
  if (has(floor, 'hanger moves')) {
    const fromMs = state.timeMs;
    hold.slidesAboveKn = weight * (1 + DRAG.up) + plan.upKn * 0.8;
    hold.slideLeftM = SLIDE_M;
    yield* loadTo(floor, pull);
    yield* wait(30);
    truth.did('hanger moves', 'hanger', fromMs, { slidM: SLIDE_M - hold.slideLeftM });
    hold.slidesAboveKn = Infinity;
    yield* loadTo(floor, weight);
    yield* wait(30);
  }
  const fromMs = state.timeMs;
  yield* loadTo(floor, pull);
  yield* wait(30);
  yield* loadTo(floor, push);
  yield* wait(30);
  truth.did('push and pull', 'hanger', fromMs, { pullKn: plan.upKn * OVER_FORCE, pushKn: plan.downKn * OVER_FORCE });
  yield* loadTo(floor, weight - hold.linerKn);
  yield* wait(20);
}

function* testAnnulus(floor: Floor, plan: { pressureKpa: number; holdMs: number }): Work {
  const { rig, truth } = floor;
  truth.phase = 'testing hanger';
  const holdS = plan.holdMs / 1000 + 420;
  if (has(floor, 'annulus test declines')) {
    rig.hold.annulusLeakPerMin = ANNULUS.leakPerMin;
    yield* pressAnnulus(floor, plan.pressureKpa, holdS, 'annulus test declines');
    rig.hold.annulusLeakPerMin = 0;
    yield* wait(60);
  }
  yield* pressAnnulus(floor, plan.pressureKpa, holdS, 'annulus test');
}

function* pressAnnulus({ rig, truth }: Floor, kpa: number, seconds: number, kind: string): Work {
  const { state, hold } = rig;
  hold.annulusTargetKpa = kpa * ANNULUS.over;
  yield* waitUntil(() => state.annulus >= kpa * ANNULUS.over, ANNULUS.longestS);
  hold.annulusTargetKpa = Number.NaN;
  hold.annulusSettlesKpa = kpa * ANNULUS.settlesShare;
  const fromMs = state.timeMs;
  const fromKpa = state.annulus;
  yield* wait(seconds);
  truth.did(kind, 'packer', fromMs, { fromKpa, toKpa: state.annulus });
  hold.annulusTargetKpa = 0;
  yield* wait(45);
}

function* release(floor: Floor): Work {
  const { rig, truth } = floor;
  const { state, controls, hold, setUp } = rig;
  truth.phase = 'releasing';
  const neutral = hold.fixed!.kn - hold.linerKn;
  const turnFree = function* (): Work {
    controls.rpm = RELEASE.rpm;
    yield* wait(RELEASE.seconds);
    controls.rpm = 0;
    yield* wait(8);
  };
  if (Math.abs(state.belowHookKn - neutral) > 5) yield* loadTo(floor, neutral);
  if (has(floor, 'liner not released')) {
    const fromMs = state.timeMs;
    yield* turnFree();
    yield* loadTo(floor, hold.fixed!.kn * (1 + DRAG.up) + HELD_OVER_KN);
    yield* wait(20);
    truth.did('liner not released', 'running tool', fromMs, {});
    yield* loadTo(floor, neutral);
  }
  const fromMs = state.timeMs;
  yield* turnFree();
  const linerKn = hold.linerKn;
  hold.fixed = null;
  hold.linerKn = 0;
  const at = state.endDepth;
  yield* moveTo(rig, at - WEIGH_M, WEIGH_M_PER_MIN);
  yield* wait(15);
  const upChangeKn = linerKn * (1 + DRAG.up);
  truth.did('release', 'running tool', fromMs, { upChangeKn, weightKn: buoyedWeightKn(setUp.engineering, at) });
  truth.phase = 'running in';
  yield* moveTo(rig, at, WEIGH_M_PER_MIN);
}

/** After the expansion: the ball that opens the circulating sub, seen by the pressure at the flow that it was pumped with. */
export function* openSub(floor: Floor): Work {
  const { rig, truth } = floor;
  const { state, controls, hold, job } = rig;
  const ball = job.engineering.balls.find(({ purpose }) => purpose === 'open circulating sub');
  if (!ball) return;
  yield* pumpBall(floor, ball, false);
  const fromMs = state.timeMs;
  controls.flowLPerMin = STEP_L_PER_MIN;
  yield* waitUntil(() => state.pressure > OPENS_AT_KPA, 1800);
  hold.shut = false;
  hold.areaFactor = OPEN_AREA;
  yield* wait(15);
  controls.flowLPerMin = ball.flowLPerMin;
  yield* wait(90);
  truth.did('sub opened', ball.name, fromMs, { kpa: state.pressure });
  controls.flowLPerMin = 0;
  yield* wait(30 + STEP_S);
}
const OPENS_AT_KPA = 12_000;
const OPEN_AREA = 2.5;
