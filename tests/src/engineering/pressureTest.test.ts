/** A hold judged by a rule: pressures that decline by a known law, and what is said of them. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Hold,
  judgeHold,
  MOST_HOLD_READINGS,
  type PressureTestRule,
} from '../../../src/engineering/pressureTest.ts';
import { inUnits } from '../../../src/measuredText.ts';
import { seededNormal } from './seededNormal.ts';

/** Rules in print; the last one is common practice, with no source. The product ships none of them: the plan names its own. */
const PUBLISHED_PRESSURE_RULES = {
  'US offshore casing and liner': { name: '30 CFR 250.721: 10 % in 30 min', maxDeclineShare: 0.1, minutes: 30 },
  'US sulphur wells': { name: '30 CFR 250.1609: 10 % in 30 min', maxDeclineShare: 0.1, minutes: 30 },
  'California offshore': { name: '14 CCR 1744.4: 10 % in 30 min', maxDeclineShare: 0.1, minutes: 30 },
  'common practice': { name: 'common practice: 1 % in 10 min', maxDeclineShare: 0.01, minutes: 10 },
} as const satisfies Record<string, PressureTestRule>;

const CONFIDENCE = 0.95;
const START_MS = 1_930_000_000_000;

/** A reading every `everyS` seconds, by a law of the minutes gone by. */
function hold(minutes: number, law: (minute: number) => number, everyS = 5): Hold {
  const count = Math.round((minutes * 60) / everyS) + 1;
  const timesMs = Array.from({ length: count }, (_, i) => START_MS + i * everyS * 1000);
  return { timesMs, pressuresKpa: timesMs.map((t) => law((t - START_MS) / 60_000)), gapAfterMs: 30_000 };
}

const straight = (from: number, share: number, overMin: number) => (minute: number) =>
  from * (1 - (share * minute) / overMin);
const rule10in30 = PUBLISHED_PRESSURE_RULES['US offshore casing and liner'];

describe('rules in print: more than 10 percent in a 30-minute test is not satisfactory', () => {
  it.each([
    ['30 CFR 250.721', PUBLISHED_PRESSURE_RULES['US offshore casing and liner']],
    ['30 CFR 250.1609', PUBLISHED_PRESSURE_RULES['US sulphur wells']],
    ['14 CCR 1744.4', PUBLISHED_PRESSURE_RULES['California offshore']],
  ])('%s', (source, rule) => {
    expect(rule.name).toContain(source);
    expect(judgeHold(hold(30, straight(20_000, 0.0999, 30)), rule, CONFIDENCE).verdict).toBe('pass');
    expect(judgeHold(hold(30, straight(20_000, 0.1001, 30)), rule, CONFIDENCE).verdict).toBe('fail');
    expect(judgeHold(hold(29, straight(20_000, 0.05, 30)), rule, CONFIDENCE).verdict).toBe('too short');
    expect(judgeHold(hold(12, straight(20_000, 0.3, 30)), rule, CONFIDENCE).verdict).toBe('fail');
  });

  it('the decline after the 30 minutes does not count', () => {
    const law = (minute: number) => (minute <= 30 ? 20_000 : 20_000 - 1000 * (minute - 30));
    const judged = judgeHold(hold(40, law), rule10in30, CONFIDENCE);
    expect(judged.verdict).toBe('pass');
    expect(judged.toMs - judged.fromMs).toBe(30 * 60_000);
    expect(judged.declineKpa).toBe(0);
  });
});

describe('common practice: 1 % in 10 min after stabilisation, the decline easing off', () => {
  const rule: PressureTestRule = {
    ...PUBLISHED_PRESSURE_RULES['common practice'],
    stable: { maxRateKpaPerMin: 20, minutes: 3 },
  };
  /** Settles with a time constant of 4 min by 800 kPa to 20,000 kPa. */
  const settling = (minute: number) => 20_000 + 800 * Math.exp(-minute / 4);

  it('begins when the pressure has become stable, and says when', () => {
    const judged = judgeHold(hold(30, settling), rule, CONFIDENCE);
    // Own, closed form: 800·e^(−t/4)·(1 − e^(−3/4)) = 60 kPa at t = 4·ln(800·(1 − e^(−3/4))/60) = 7.8 min.
    const from = 4 * Math.log((800 * (1 - Math.exp(-0.75))) / 60);
    expect((judged.fromMs - START_MS) / 60_000).toBeGreaterThanOrEqual(from - 1e-9);
    expect((judged.fromMs - START_MS) / 60_000).toBeLessThan(from + 5 / 60);
    expect(judged.verdict).toBe('pass');
    expect(judged.declineKpa).toBeCloseTo(settling((judged.fromMs - START_MS) / 60_000) - settling(17.8), 0);
    expect(judged.secondHalf).toBe('slower');
  });

  it('the same hold fails where the rule does not wait for it', () => {
    const { stable: _, ...atOnce } = rule;
    expect(judgeHold(hold(30, settling), atOnce, CONFIDENCE).verdict).toBe('fail');
  });

  it('a pressure that never settles is not judged', () => {
    const judged = judgeHold(hold(30, straight(20_000, 0.2, 30)), rule, CONFIDENCE);
    expect(judged.verdict).toBe('not stable');
    expect(judged.declineShare).toBeNaN();
    expect(judged.reason).toContain('common practice');
  });

  it('a leak that goes on as it began is told from one that eases off or grows, in 200 seeded holds', () => {
    const told = (law: (minute: number) => number): Record<string, number> => {
      const counts: Record<string, number> = { slower: 0, same: 0, faster: 0, unknown: 0 };
      for (let seed = 0; seed < 200; seed += 1) {
        const normal = seededNormal(seed);
        const judged = judgeHold(
          hold(30, (minute) => law(minute) + 2 * normal()),
          rule10in30,
          CONFIDENCE,
        );
        counts[judged.secondHalf]! += 1;
      }
      return counts;
    };
    // Within 2σ of each other by chance in 95.4 % of holds: 191 of 200, ± 4 standard errors of 3.
    expect(told(straight(20_000, 0.03, 30)).same).toBeGreaterThan(178);
    expect(told((minute) => 20_000 + 500 * Math.exp(-minute / 8)).slower).toBe(200);
    expect(told((minute) => 20_000 - minute ** 2).faster).toBe(200);
  });
});

describe('slope in the last third', () => {
  it('own: is that of the law, inside its interval', () => {
    const normal = seededNormal(5);
    const judged = judgeHold(
      hold(30, (minute) => 20_000 - 12 * minute + 3 * normal()),
      rule10in30,
      CONFIDENCE,
    );
    const { interval, kpaPerMin } = judged.lastThird!;
    expect(kpaPerMin).toBeCloseTo(-12, 0);
    expect(interval.low).toBeLessThan(-12);
    expect(interval.high).toBeGreaterThan(-12);
    expect(interval.high - interval.low).toBeLessThan(1);
  });

  it('own: knows nothing of the first two thirds', () => {
    const law = (minute: number) => (minute < 20 ? 21_000 - 50 * minute : 20_000);
    expect(judgeHold(hold(30, law), rule10in30, CONFIDENCE).lastThird!.kpaPerMin).toBeCloseTo(0, 9);
  });
});

describe('readings that are missing', () => {
  const holed = (from: number, to: number) => hold(30, (m) => (m > from && m < to ? Number.NaN : 20_000 - m));
  it('a hole longer than the plan’s proves nothing', () => {
    const judged = judgeHold(holed(10, 12), rule10in30, CONFIDENCE);
    expect(judged.verdict).toBe('gap in data');
    expect(inUnits(judged.reason, 'metric')).toContain('120 s without a reading');
  });
  it('so does one that the end of the window falls into', () => {
    const judged = judgeHold(
      hold(32, (m) => (m > 29 && m < 31 ? Number.NaN : 20_000)),
      rule10in30,
      CONFIDENCE,
    );
    expect(judged.verdict).toBe('gap in data');
  });
  it('a short one does no harm', () => expect(judgeHold(holed(10, 10.4), rule10in30, CONFIDENCE).verdict).toBe('pass'));
  it('nothing at all is no data', () => {
    expect(judgeHold(holed(-1, 31), rule10in30, CONFIDENCE).verdict).toBe('no data');
    expect(judgeHold({ timesMs: [], pressuresKpa: [], gapAfterMs: 1 }, rule10in30, CONFIDENCE).verdict).toBe('no data');
  });
  it('no pressure is no hold', () => {
    expect(
      judgeHold(
        hold(30, () => 0),
        rule10in30,
        CONFIDENCE,
      ).verdict,
    ).toBe('no data');
  });
});

describe('any hold', () => {
  const drawn = fc.record({
    from: fc.double({ min: 500, max: 60_000, noNaN: true }),
    share: fc.double({ min: -0.05, max: 0.5, noNaN: true }),
    allowed: fc.double({ min: 0.001, max: 0.3, noNaN: true }),
    minutes: fc.integer({ min: 2, max: 40 }),
  });

  it('that declines in a straight line passes just when its decline is allowed', () => {
    fc.assert(
      fc.property(drawn, ({ from, share, allowed, minutes }) => {
        fc.pre(Math.abs(share - allowed) > 1e-9);
        const rule = { name: 'the plan’s own', maxDeclineShare: allowed, minutes };
        const judged = judgeHold(hold(minutes, straight(from, share, minutes)), rule, CONFIDENCE);
        expect(judged.declineShare).toBeCloseTo(share, 9);
        expect(judged.verdict).toBe(share > allowed ? 'fail' : 'pass');
        expect(inUnits(judged.reason, 'field')).toContain('the plan’s own');
      }),
    );
  });

  it('in other units of pressure has the same verdict', () => {
    fc.assert(
      fc.property(drawn, fc.double({ min: 0.1, max: 10, noNaN: true }), ({ from, share, allowed, minutes }, scale) => {
        fc.pre(Math.abs(share - allowed) > 1e-9);
        const rule = { name: 'r', maxDeclineShare: allowed, minutes };
        const law = straight(from, share, minutes);
        const scaled = judgeHold(
          hold(minutes, (m) => scale * law(m)),
          rule,
          CONFIDENCE,
        );
        expect(scaled.verdict).toBe(judgeHold(hold(minutes, law), rule, CONFIDENCE).verdict);
      }),
    );
  });

  it('beyond the limit, or with times that turn back, is refused loudly', () => {
    const many = new Array<number>(MOST_HOLD_READINGS + 1).fill(1);
    expect(() => judgeHold({ timesMs: many, pressuresKpa: many, gapAfterMs: 1 }, rule10in30, CONFIDENCE)).toThrow(
      /limit/,
    );
    const turned = { timesMs: [0, 2000, 1000], pressuresKpa: [1, 1, 1], gapAfterMs: 1 };
    expect(() => judgeHold(turned, rule10in30, CONFIDENCE)).toThrow(/rising/);
  });
});
