/** The record of screen-plugging tests against the rule that gates the trip. */
import { judgeScreenTests, type ScreenTestJudgement } from '../engineering/screenTests.ts';
import type { ScreenTest, ScreenTestRule } from '../plan/engineering.ts';
import type { Job } from '../plan/job.ts';

export interface FluidCheck {
  /** Oldest first. */
  readonly tests: readonly ScreenTest[];
  readonly rule: ScreenTestRule | undefined;
  /** Undefined without a rule. */
  readonly judgement: ScreenTestJudgement | undefined;
}

const LITRES_PER_M3 = 1000;
/** A rule without a volume asks for none. */
const ANY_VOLUME_M3 = Number.MIN_VALUE;

/** Undefined where the plan has no such part. */
export function fluidCheck(job: Job): FluidCheck | undefined {
  const { screenTests } = job.engineering;
  if (!screenTests) return undefined;
  const tests = [...screenTests.tests].sort((a, b) => a.atMs - b.atMs);
  const { rule } = screenTests;
  return { tests, rule, judgement: rule && judgeScreenTests(tests.map(toJudge), ruleToJudge(rule)) };
}

const toJudge = ({ litres, seconds, coupon, passed }: ScreenTest) => ({
  volumeM3: litres / LITRES_PER_M3,
  seconds,
  coupon,
  result: passed ? ('passed' as const) : ('plugged' as const),
});

function ruleToJudge({ source, litres, seconds, growthShare, repeats }: ScreenTestRule) {
  return {
    name: source,
    minVolumeM3: litres === undefined ? ANY_VOLUME_M3 : litres / LITRES_PER_M3,
    ...(seconds === undefined ? {} : { maxSeconds: seconds }),
    ...(growthShare === undefined ? {} : { maxGrowth: growthShare }),
    repeats,
  };
}
