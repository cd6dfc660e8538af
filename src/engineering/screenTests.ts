/**
 * The record of screen-plugging tests: fluid through a coupon of the screen that is to be run, timed. The trip may start
 * when the last tests in a row, on one coupon, pass the rule that the plan names; one bad test starts the row anew.
 */
import { invariant } from '../fault.ts';
import type { MeasuredText } from '../measuredText.ts';

/** More than a job ever makes. */
export const MOST_SCREEN_TESTS = 500;

export interface ScreenTest {
  /** What went through the coupon, m³. */
  readonly volumeM3: number;
  readonly seconds: number;
  /** Which screen the coupon was cut from, as its label says. */
  readonly coupon: string;
  readonly result: 'passed' | 'plugged';
}

export interface ScreenTestRule {
  /** As it is to be shown, with its source. */
  readonly name: string;
  readonly minVolumeM3: number;
  readonly maxSeconds?: number;
  /** Share by which a test may take longer than the one before it in the row, 0.2 for 20 %. */
  readonly maxGrowth?: number;
  /** How many good tests in a row. */
  readonly repeats: number;
}

export interface ScreenTestJudgement {
  readonly rule: ScreenTestRule;
  readonly verdict: 'pass' | 'fail' | 'too few';
  /** Good tests in a row at the end of the record. */
  readonly inARow: number;
  readonly reason: MeasuredText;
}

/** Shares and volumes typed in decimals must not fail by rounding. */
const ROUNDING = 1e-9;
const VOLUME_DECIMALS = 2;
const LITRES_PER_M3 = 1000;
const volume = (m3: number) =>
  ({ quantity: 'sampleVolume', value: m3 * LITRES_PER_M3, decimals: VOLUME_DECIMALS }) as const;

/** Why a test is no good by itself, or null. */
function faultOf(test: ScreenTest, rule: ScreenTestRule): MeasuredText | null {
  if (test.result === 'plugged') return ['plugged after ', volume(test.volumeM3)];
  if (test.volumeM3 < rule.minVolumeM3 * (1 - ROUNDING)) {
    return ['passed ', volume(test.volumeM3), ', less than ', volume(rule.minVolumeM3)];
  }
  if (rule.maxSeconds !== undefined && test.seconds > rule.maxSeconds) {
    return `took ${test.seconds} s, longer than ${rule.maxSeconds} s`;
  }
  return null;
}

/** Why a test does not follow on from the one before it, or null. Times are compared for the same volume. */
function breakOf(test: ScreenTest, before: ScreenTest, rule: ScreenTestRule): MeasuredText | null {
  if (test.coupon !== before.coupon) return `coupon changed from ${before.coupon} to ${test.coupon}`;
  if (rule.maxGrowth === undefined) return null;
  const growth = test.seconds / test.volumeM3 / (before.seconds / before.volumeM3) - 1;
  if (growth <= rule.maxGrowth + ROUNDING) return null;
  const allowed = `${(rule.maxGrowth * 100).toFixed(0)} % allowed`;
  return `took ${(growth * 100).toFixed(0)} % longer for the volume than the test before, ${allowed}`;
}

interface Row {
  readonly length: number;
  /** What ended the row going back from the last test, and which test that was, counted from 1. */
  readonly ended: { readonly test: number; readonly why: MeasuredText } | null;
}

function lastRow(tests: readonly ScreenTest[], rule: ScreenTestRule): Row {
  let length = 0;
  for (let i = tests.length - 1; i >= 0; i -= 1) {
    const fault = faultOf(tests[i]!, rule);
    if (fault !== null) return { length, ended: { test: i + 1, why: fault } };
    length += 1;
    if (length === rule.repeats) break;
    const broken = i > 0 ? breakOf(tests[i]!, tests[i - 1]!, rule) : null;
    if (broken !== null) return { length, ended: { test: i + 1, why: broken } };
  }
  return { length, ended: null };
}

const words = (text: MeasuredText) => (typeof text === 'string' ? [text] : text);

/** Judges the record, oldest test first, by the rule: `fail` names the test that broke the row, `too few` what is missing. */
export function judgeScreenTests(tests: readonly ScreenTest[], rule: ScreenTestRule): ScreenTestJudgement {
  invariant(tests.length <= MOST_SCREEN_TESTS, 'a record of no more tests than the limit');
  invariant(
    Number.isInteger(rule.repeats) && rule.repeats >= 1 && rule.minVolumeM3 > 0,
    'at least one test of some volume',
  );
  invariant(
    tests.every((test) => test.volumeM3 > 0 && test.seconds > 0),
    'a volume and a time for each test',
  );
  const row = lastRow(tests, rule);
  const counted = `${row.length} of ${rule.repeats} good tests in a row`;
  const named = `; rule ${rule.name}`;
  if (row.length >= rule.repeats) return { rule, verdict: 'pass', inARow: row.length, reason: `${counted}${named}` };
  if (row.ended === null) return { rule, verdict: 'too few', inARow: row.length, reason: `${counted}${named}` };
  const reason = [`${counted}: test ${row.ended.test} `, ...words(row.ended.why), named];
  return { rule, verdict: 'fail', inARow: row.length, reason };
}
