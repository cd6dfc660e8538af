/**
 * A pressure held and watched: from when it is stable, how much it declines over the rule's minutes, how fast in the last
 * third, whether the decline eases off (the fluid cooling or warming) or goes on as before (a leak), and the verdict.
 * Every bound comes from the rule, which is named in the verdict; nothing here has a default.
 *
 * H1 A rule that asks for stable pressure starts its window at the first reading from which the pressure stays within the
 *    rule's rate over the rule's settling time; a rule that does not starts it at the first reading.
 * H2 Decline = pressure at the start − pressure at the end of the window, between two readings on the straight line.
 * H3 More decline than the rule allows fails, at once, however little time has gone by; the rule's limit itself passes.
 * H4 Without a failure: a hole in the readings longer than `gapAfterMs` proves nothing, and a window that has not been held
 *    to its end is too short.
 */
import { invariant } from '../fault.ts';
import type { MeasuredText } from '../measuredText.ts';
import { fitLine, type Interval, type LineFit, slopeInterval } from './lineFit.ts';
import { COVERAGE_FACTOR } from './uncertainty.ts';

/** A day at 1 Hz. */
export const MOST_HOLD_READINGS = 86_400;

export interface PressureTestRule {
  /** As it is to be shown and signed, with its source. */
  readonly name: string;
  /** Share of the pressure at the start of the window, 0.1 for 10 %. */
  readonly maxDeclineShare: number;
  readonly minutes: number;
  /** What counts as stable before the window begins; left out where the rule does not ask. */
  readonly stable?: { readonly maxRateKpaPerMin: number; readonly minutes: number };
}

export interface Hold {
  /** Rising, ms; as long as the pressures. */
  readonly timesMs: readonly number[];
  /** kPa; NaN where there is no reading. */
  readonly pressuresKpa: readonly number[];
  /** A hole between two readings longer than this proves nothing, ms. */
  readonly gapAfterMs: number;
}

export const PRESSURE_VERDICTS = ['pass', 'fail', 'too short', 'not stable', 'gap in data', 'no data'] as const;
export type PressureVerdict = (typeof PRESSURE_VERDICTS)[number];

export interface HoldJudgement {
  readonly rule: PressureTestRule;
  readonly verdict: PressureVerdict;
  readonly reason: MeasuredText;
  /** The judged window, ms; NaN where none began. */
  readonly fromMs: number;
  readonly toMs: number;
  readonly fromKpa: number;
  readonly toKpa: number;
  readonly declineKpa: number;
  readonly declineShare: number;
  /** Slope in the last third of the window, kPa/min, negative for a decline; null with too few readings. */
  readonly lastThird: { readonly kpaPerMin: number; readonly interval: Interval; readonly confidence: number } | null;
  /** The second half's decline against the first's: `same` where the two slopes lie within 2σ of each other. */
  readonly secondHalf: 'slower' | 'same' | 'faster' | 'unknown';
}

interface Readings {
  readonly minutes: readonly number[];
  readonly kpa: readonly number[];
  readonly startMs: number;
}

const MS_PER_MIN = 60_000;

/** The readings there are, in minutes from the first one. */
function readingsOf(hold: Hold): Readings {
  const { timesMs, pressuresKpa } = hold;
  invariant(timesMs.length === pressuresKpa.length, 'one pressure for each time');
  invariant(timesMs.length <= MOST_HOLD_READINGS, 'a hold of no more readings than the limit');
  const kept = timesMs.map((_, i) => i).filter((i) => Number.isFinite(pressuresKpa[i]) && Number.isFinite(timesMs[i]));
  const startMs = kept.length > 0 ? timesMs[kept[0]!]! : Number.NaN;
  const minutes = kept.map((i) => (timesMs[i]! - startMs) / MS_PER_MIN);
  invariant(
    minutes.every((minute, i) => i === 0 || minute > minutes[i - 1]!),
    'rising times',
  );
  return { minutes, kpa: kept.map((i) => pressuresKpa[i]!), startMs };
}

/** H1: the minute from which the pressure is stable, or NaN. */
function stableFrom(readings: Readings, stable: NonNullable<PressureTestRule['stable']>): number {
  const { minutes, kpa } = readings;
  const reach = stable.maxRateKpaPerMin * stable.minutes;
  for (let i = 0; i < minutes.length; i += 1) {
    let low = kpa[i]!;
    let high = kpa[i]!;
    for (let j = i + 1; j < minutes.length; j += 1) {
      low = Math.min(low, kpa[j]!);
      high = Math.max(high, kpa[j]!);
      if (high - low > reach) break;
      if (minutes[j]! - minutes[i]! >= stable.minutes) return minutes[i]!;
    }
  }
  return Number.NaN;
}

/** Pressure at a minute inside the readings, on the straight line between two of them. */
function pressureAt({ minutes, kpa }: Readings, minute: number): number {
  const next = minutes.findIndex((m) => m >= minute);
  if (next <= 0) return kpa[Math.max(next, 0)]!;
  const share = (minute - minutes[next - 1]!) / (minutes[next]! - minutes[next - 1]!);
  return kpa[next - 1]! + share * (kpa[next]! - kpa[next - 1]!);
}

function longestGapMs({ minutes }: Readings, from: number, to: number): number {
  let longest = 0;
  for (let i = 1; i < minutes.length; i += 1) {
    if (minutes[i]! > from && minutes[i - 1]! < to) longest = Math.max(longest, minutes[i]! - minutes[i - 1]!);
  }
  return longest * MS_PER_MIN;
}

function lineBetween({ minutes, kpa }: Readings, from: number, to: number): LineFit | null {
  const inside = minutes.map((_, i) => i).filter((i) => minutes[i]! >= from && minutes[i]! <= to);
  return fitLine(
    inside.map((i) => minutes[i]! - from),
    inside.map((i) => kpa[i]!),
  );
}

function compareHalves(readings: Readings, from: number, to: number): HoldJudgement['secondHalf'] {
  const middle = (from + to) / 2;
  const first = lineBetween(readings, from, middle);
  const second = lineBetween(readings, middle, to);
  if (first === null || second === null) return 'unknown';
  const eased = second.slope - first.slope;
  if (Math.abs(eased) <= COVERAGE_FACTOR * Math.hypot(first.slopeError, second.slopeError)) return 'same';
  return eased > 0 ? 'slower' : 'faster';
}

const percent = (share: number): string => `${(share * 100).toFixed(2)} %`;

type Judged = Pick<HoldJudgement, 'verdict' | 'reason'>;

/** H3 and H4, the most telling first. */
function judge(rule: PressureTestRule, window: Window, gapAfterMs: number): Judged {
  const decline: MeasuredText = [
    'declined ',
    { quantity: 'pressure', value: window.declineKpa, decimals: 0 },
    ` (${percent(window.declineShare)}) in ${window.heldMin.toFixed(1)} min`,
  ];
  const against = `; rule ${rule.name}`;
  if (window.declineShare > rule.maxDeclineShare) {
    return { verdict: 'fail', reason: [...decline, `, more than ${percent(rule.maxDeclineShare)} allowed${against}`] };
  }
  if (window.gapMs > gapAfterMs) {
    const seconds = (window.gapMs / 1000).toFixed(0);
    return { verdict: 'gap in data', reason: [...decline, `, with ${seconds} s without a reading${against}`] };
  }
  if (window.heldMin < rule.minutes - MINUTE_ROUNDING) {
    return { verdict: 'too short', reason: [...decline, `, held less than ${rule.minutes} min${against}`] };
  }
  return { verdict: 'pass', reason: [...decline, `, within ${percent(rule.maxDeclineShare)}${against}`] };
}

/** A tenth of a millisecond, for the division of ms into minutes. */
const MINUTE_ROUNDING = 1e-6;

interface Window {
  readonly heldMin: number;
  readonly fromKpa: number;
  readonly toKpa: number;
  readonly declineKpa: number;
  readonly declineShare: number;
  readonly gapMs: number;
}

function windowOf(readings: Readings, from: number, to: number): Window {
  const fromKpa = pressureAt(readings, from);
  const toKpa = pressureAt(readings, to);
  const declineKpa = fromKpa - toKpa;
  return {
    heldMin: to - from,
    fromKpa,
    toKpa,
    declineKpa,
    declineShare: fromKpa > 0 ? declineKpa / fromKpa : Number.NaN,
    gapMs: longestGapMs(readings, from, to),
  };
}

function withoutWindow(rule: PressureTestRule, verdict: PressureVerdict, reason: string): HoldJudgement {
  const none = Number.NaN;
  return {
    rule,
    verdict,
    reason,
    fromMs: none,
    toMs: none,
    fromKpa: none,
    toKpa: none,
    declineKpa: none,
    declineShare: none,
    lastThird: null,
    secondHalf: 'unknown',
  };
}

/**
 * Judges a hold by a rule. `confidence` (0 to 1) is that of the interval of the last third's slope, which takes readings as
 * independent. The start pressure must be above 0 kPa.
 */
export function judgeHold(hold: Hold, rule: PressureTestRule, confidence: number): HoldJudgement {
  const readings = readingsOf(hold);
  if (readings.kpa.length < 2) return withoutWindow(rule, 'no data', `fewer than two readings; rule ${rule.name}`);
  const from = rule.stable === undefined ? 0 : stableFrom(readings, rule.stable);
  if (Number.isNaN(from)) return withoutWindow(rule, 'not stable', `pressure never became stable; rule ${rule.name}`);
  const to = Math.min(from + rule.minutes, readings.minutes.at(-1)!);
  const window = windowOf(readings, from, to);
  if (!(window.fromKpa > 0)) return withoutWindow(rule, 'no data', `no pressure to hold; rule ${rule.name}`);
  const last = lineBetween(readings, to - (to - from) / 3, to);
  return {
    rule,
    ...judge(rule, window, hold.gapAfterMs),
    fromMs: readings.startMs + from * MS_PER_MIN,
    toMs: readings.startMs + to * MS_PER_MIN,
    fromKpa: window.fromKpa,
    toKpa: window.toKpa,
    declineKpa: window.declineKpa,
    declineShare: window.declineShare,
    lastThird: last && { kpaPerMin: last.slope, interval: slopeInterval(last, confidence), confidence },
    secondHalf: compareHalves(readings, from, to),
  };
}
