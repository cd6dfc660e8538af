/**
 * The annulus pressure test of a hanger's packer: pressure on the annulus with the pumps stopped, stabilised, then held, and
 * judged by the plan's rule, which the record names (`src/engineering/pressureTest.ts`).
 *
 * A1 Readings are medians of some seconds: the scatter of a sensor is no rate, and a slope's interval takes them as independent.
 * A2 Pumped up again, the test starts anew. A test that failed ends there; the pressure must be let off before the next one.
 * A3 A pressure that never became stable, and lost more than the rule allows from its highest, has failed.
 */
import type { Sample } from '../channels.ts';
import { type HoldJudgement, judgeHold, type PressureTestRule } from '../engineering/pressureTest.ts';
import { median } from '../engineering/robust.ts';
import type { Hanger } from '../plan/engineering.ts';
import type { StepNumber, StepOutcome } from '../steps.ts';
import { logEvent } from './eventLog.ts';
import { hangerDepthM } from './hungString.ts';
import { gapAfterMs } from './period.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';

export interface AnnulusTest {
  /** Readings of the present block, kPa, and when it began. */
  block: number[];
  blockMs: number;
  times: number[];
  kpas: number[];
  step: number;
  fromMs: number;
  topKpa: number;
  lowMs: number;
  /** Judged: nothing more until the pressure is let off. */
  judged: boolean;
  passed: boolean;
  seen: boolean;
}

const BLOCK_MS = 15_000;
/** A day of blocks. */
const MOST_BLOCKS = 5_760;
/** From this share of the test's pressure on it is being tested, and below the other, of the highest, it was let off. */
const BEGUN_SHARE = 0.9;
const LET_OFF_SHARE = 0.7;
const LET_OFF_MS = 8_000;
/** The test starts at no less than this share of its pressure. */
const ENOUGH_SHARE = 0.95;
/** A rise of this share of the pressure is the pump (common practice). */
const PUMPED_UP_SHARE = 0.02;
const PUMPS_OFF_L_PER_MIN = 60;
/** Minutes over which the pressure must be as steady as the plan asks (common practice). */
const STABLE_MINUTES = 2;
const BLOCKS_TO_OPEN = 2;
const CONFIDENCE = 0.95;

export function createAnnulusTest(): AnnulusTest {
  return {
    block: [],
    blockMs: Number.NaN,
    times: [],
    kpas: [],
    step: -1,
    fromMs: Number.NaN,
    topKpa: Number.NaN,
    lowMs: Number.NaN,
    judged: false,
    passed: false,
    seen: false,
  };
}

type Plan = NonNullable<Hanger['annulusTest']>;

const ruleOf = (plan: Plan): PressureTestRule => ({
  name: plan.rule,
  maxDeclineShare: plan.maxDeclineShare,
  minutes: plan.holdMs / 60_000,
  stable: { maxRateKpaPerMin: plan.stabilisedKpaPerMin, minutes: STABLE_MINUTES },
});

/** Returns whether the annulus is under test now. */
export function advanceAnnulusTest(run: Run, sample: Sample, flow: number): boolean {
  const state = run.hanger.annulusTest;
  const plan = run.job.engineering.hanger!.annulusTest!;
  const kpa = sample.annulusPressure;
  if (Number.isNaN(kpa)) return false;
  // Under test until it is let off, whatever has been judged by then.
  if (state.passed) return kpa >= LET_OFF_SHARE * state.topKpa;
  const begun = !Number.isNaN(state.fromMs);
  if (!begun) {
    if (kpa < BEGUN_SHARE * plan.pressureKpa || flow > PUMPS_OFF_L_PER_MIN) return false;
    state.fromMs = sample.sourceMs;
    state.topKpa = kpa;
  }
  if (kpa > state.topKpa) state.topKpa = kpa;
  if (isLetOff(state, kpa, sample.sourceMs)) {
    finish(run, plan);
    return false;
  }
  if (!state.judged) collect(run, plan, sample.sourceMs, kpa);
  return state.times.length > 0;
}

function isLetOff(state: AnnulusTest, kpa: number, atMs: number): boolean {
  if (kpa >= LET_OFF_SHARE * state.topKpa) {
    state.lowMs = Number.NaN;
    return false;
  }
  if (Number.isNaN(state.lowMs)) state.lowMs = atMs;
  return atMs - state.lowMs >= LET_OFF_MS;
}

function collect(run: Run, plan: Plan, atMs: number, kpa: number): void {
  const state = run.hanger.annulusTest;
  // What may be the letting off is no reading of the hold.
  if (!Number.isNaN(state.lowMs)) return;
  if (Number.isNaN(state.blockMs)) state.blockMs = atMs;
  state.block.push(kpa);
  if (atMs - state.blockMs < BLOCK_MS - 1_000) return;
  const mean = median(state.block);
  const lowest = state.kpas.length > 0 ? state.kpas[state.kpas.length - 1]! : Infinity;
  if (mean > lowest + PUMPED_UP_SHARE * plan.pressureKpa) state.times.length = state.kpas.length = 0;
  if (state.times.length < MOST_BLOCKS) {
    state.times.push((state.blockMs + atMs) / 2);
    state.kpas.push(mean);
  }
  state.block.length = 0;
  state.blockMs = Number.NaN;
  if (state.step < 0 && state.times.length >= BLOCKS_TO_OPEN && mean >= BEGUN_SHARE * plan.pressureKpa) open(run);
  if (state.step >= 0) judge(run, plan);
}

function open(run: Run): void {
  const state = run.hanger.annulusTest;
  state.seen = true;
  state.step = logStep(run.steps, 'annulus test', 'packer', state.times[0]!, null, 'open', 'underway');
}

function holdOf(run: Run, from = 0): Parameters<typeof judgeHold>[0] {
  const { times, kpas } = run.hanger.annulusTest;
  return {
    timesMs: times.slice(from),
    pressuresKpa: kpas.slice(from),
    gapAfterMs: 1.5 * BLOCK_MS + gapAfterMs(run.period, run.job.stream.gapAfterMs),
  };
}

function judge(run: Run, plan: Plan): void {
  const state = run.hanger.annulusTest;
  const rule = ruleOf(plan);
  let judgement = judgeHold(holdOf(run), rule, CONFIDENCE);
  if (judgement.verdict === 'not stable') {
    // A3.
    const from = state.kpas.indexOf(Math.max(...state.kpas));
    const { stable: _, ...unsettled } = rule;
    const unstable = judgeHold(holdOf(run, from), unsettled, CONFIDENCE);
    if (unstable.verdict === 'fail') judgement = unstable;
  }
  const under = judgement.fromKpa < ENOUGH_SHARE * plan.pressureKpa;
  if (judgement.verdict === 'fail') conclude(run, judgement, 'failed');
  else if (judgement.verdict === 'pass') conclude(run, judgement, under ? 'not proven' : 'passed');
  else changeStep(run.steps, state.step, { numbers: numbersOf(judgement) });
}

function conclude(run: Run, judgement: HoldJudgement, outcome: StepOutcome): void {
  const state = run.hanger.annulusTest;
  const { reason, fromMs, toMs } = judgement;
  state.judged = true;
  state.passed = outcome === 'passed';
  const words = typeof reason === 'string' ? [reason] : reason;
  const eased = judgement.secondHalf === 'slower' ? '; the decline eases off' : '';
  const detail = [...words, outcome === 'not proven' ? '; started below the pressure of the test' : eased];
  const numbers = numbersOf(judgement);
  changeStep(run.steps, state.step, { toMs, outcome, detail, numbers });
  if (outcome === 'failed')
    logEvent(run.events, 'test not passed', null, hangerDepthM(run.job), fromMs, toMs, ['annulus test: ', ...detail]);
}

/** The pressure is let off: what was not judged until now cannot be. */
function finish(run: Run, plan: Plan): void {
  const state = run.hanger.annulusTest;
  if (state.step >= 0 && !state.judged) {
    const judgement = judgeHold(holdOf(run), ruleOf(plan), CONFIDENCE);
    changeStep(run.steps, state.step, {
      toMs: state.times[state.times.length - 1]!,
      outcome: 'not proven',
      detail: judgement.reason,
      numbers: numbersOf(judgement),
    });
  }
  run.hanger.annulusTest = { ...createAnnulusTest(), seen: state.seen };
}

function numbersOf(judgement: HoldJudgement): StepNumber[] {
  if (Number.isNaN(judgement.fromMs)) return [];
  const numbers = [
    stepNumber('pressure at start', 'pressure', judgement.fromKpa, 0),
    stepNumber('pressure at end', 'pressure', judgement.toKpa, 0),
    stepNumber('decline', 'pressure', judgement.declineKpa, 0),
    stepNumber('decline, %', 'count', judgement.declineShare * 100, 2),
    stepNumber('minutes', 'count', (judgement.toMs - judgement.fromMs) / 60_000, 1),
  ];
  const last = judgement.lastThird;
  if (last) {
    numbers.push(stepNumber('slope a minute, last third', 'pressure', last.kpaPerMin, 2));
    if (Number.isFinite(last.interval.low) && Number.isFinite(last.interval.high)) {
      numbers.push(
        stepNumber('slope a minute, 95 % from', 'pressure', last.interval.low, 2),
        stepNumber('slope a minute, 95 % to', 'pressure', last.interval.high, 2),
      );
    }
  }
  return numbers;
}
