/** The record of screen-plugging tests against the rule that gates the trip. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  judgeScreenTests,
  MOST_SCREEN_TESTS,
  type ScreenTest,
  type ScreenTestRule,
} from '../../../src/engineering/screenTests.ts';
import { inUnits } from '../../../src/measuredText.ts';

/** A laboratory barrel of fluid, 350 mL: one gram in it is one pound in an oilfield barrel. */
const LAB_BARREL_M3 = 350e-6;

/** Rules in print or in use. The product ships none of them: the plan names its own. */
const KNOWN_SCREEN_RULES = {
  'three laboratory barrels': {
    name: 'drilling-fluids handbook: 3 laboratory barrels (1,050 mL) through a 2.5 in disc at 100 psi',
    minVolumeM3: 3 * LAB_BARREL_M3,
    repeats: 1,
  },
  'common practice': {
    name: 'common practice: 500 mL through a coupon, at most 30 s, growth at most 20 %',
    minVolumeM3: 500e-6,
    maxSeconds: 30,
    maxGrowth: 0.2,
    repeats: 3,
  },
} as const satisfies Record<string, ScreenTestRule>;

const trial = (
  millilitres: number,
  seconds: number,
  result: ScreenTest['result'] = 'passed',
  coupon = 'A',
): ScreenTest => ({
  volumeM3: millilitres * 1e-6,
  seconds,
  coupon,
  result,
});

describe('drilling-fluids handbook: 3 laboratory barrels of 350 mL must pass', () => {
  const rule = KNOWN_SCREEN_RULES['three laboratory barrels'];
  it('are 1,050 mL', () => {
    expect(LAB_BARREL_M3 * 1e6).toBeCloseTo(350, 9);
    expect(rule.minVolumeM3 * 1e6).toBeCloseTo(1050, 9);
  });
  it.each([
    [1050, 'passed', 'pass'],
    [1049, 'passed', 'fail'],
    [700, 'plugged', 'fail'],
    [1050, 'plugged', 'fail'],
  ] as const)('%d mL, %s: %s', (millilitres, result, verdict) => {
    expect(judgeScreenTests([trial(millilitres, 60, result)], rule).verdict).toBe(verdict);
  });
  it('says what plugged it, in litres or in gallons, and names the rule', () => {
    const { reason } = judgeScreenTests([trial(700, 60, 'plugged')], rule);
    expect(inUnits(reason, 'metric')).toBe(
      `0 of 1 good tests in a row: test 1 plugged after 0.70 L; rule ${rule.name}`,
    );
    expect(inUnits(reason, 'field')).toContain('plugged after 0.18 gal');
  });
});

describe('common practice: 500 mL, 30 s, 20 % growth, three in a row', () => {
  const rule = KNOWN_SCREEN_RULES['common practice'];
  it.each<[string, ScreenTest[], string, number, string]>([
    ['three alike', [trial(500, 10), trial(500, 11), trial(500, 12)], 'pass', 3, '3 of 3'],
    ['two so far', [trial(500, 10), trial(500, 11)], 'too few', 2, '2 of 3'],
    ['none', [], 'too few', 0, '0 of 3'],
    ['the first slow', [trial(500, 31), trial(500, 20), trial(500, 20)], 'fail', 2, 'test 1 took 31 s'],
    ['just 20 % longer', [trial(500, 10), trial(500, 12), trial(500, 14.4)], 'pass', 3, '3 of 3'],
    ['30 % longer', [trial(500, 10), trial(500, 10), trial(500, 13)], 'fail', 1, 'test 3 took 30 % longer'],
    ['30 % longer for more fluid', [trial(500, 10), trial(500, 10), trial(650, 13)], 'pass', 3, '3 of 3'],
    [
      'another coupon',
      [trial(500, 10), trial(500, 10), trial(500, 10, 'passed', 'B')],
      'fail',
      1,
      'coupon changed from A to B',
    ],
    [
      'plugged, then three good',
      [trial(400, 60, 'plugged'), trial(500, 9), trial(500, 9), trial(500, 9)],
      'pass',
      3,
      '3 of 3',
    ],
    [
      'good, then plugged',
      [trial(500, 9), trial(500, 9), trial(500, 9), trial(300, 60, 'plugged')],
      'fail',
      0,
      'test 4 plugged',
    ],
  ])('%s', (_what, tests, verdict, inARow, says) => {
    const judged = judgeScreenTests(tests, rule);
    expect([judged.verdict, judged.inARow]).toEqual([verdict, inARow]);
    expect(inUnits(judged.reason, 'metric')).toContain(says);
    expect(inUnits(judged.reason, 'metric')).toContain(rule.name);
  });
});

describe('any record', () => {
  const drawn = fc.array(
    fc
      .tuple(
        fc.integer({ min: 300, max: 700 }),
        fc.integer({ min: 5, max: 40 }),
        fc.boolean(),
        fc.constantFrom('A', 'B'),
      )
      .map(([millilitres, seconds, ok, coupon]) => trial(millilitres, seconds, ok ? 'passed' : 'plugged', coupon)),
    { maxLength: 12 },
  );
  const rule = KNOWN_SCREEN_RULES['common practice'];

  it('is judged by its last tests alone', () => {
    fc.assert(
      fc.property(drawn, drawn, (before, tests) => {
        fc.pre(tests.length >= rule.repeats);
        const alone = judgeScreenTests(tests, rule);
        const both = judgeScreenTests([...before, ...tests], rule);
        expect([both.verdict, both.inARow]).toEqual([alone.verdict, alone.inARow]);
      }),
    );
  });

  it('never passes with a bad test among the last ones', () => {
    fc.assert(
      fc.property(drawn, (tests) => {
        if (judgeScreenTests(tests, rule).verdict !== 'pass') return;
        const last = tests.slice(-rule.repeats);
        expect(last.length).toBe(rule.repeats);
        for (const one of last) {
          expect(one.result).toBe('passed');
          expect(one.volumeM3).toBeGreaterThanOrEqual(rule.minVolumeM3 - 1e-12);
          expect(one.seconds).toBeLessThanOrEqual(rule.maxSeconds);
          expect(one.coupon).toBe(last[0]!.coupon);
        }
      }),
    );
  });

  it('beyond the limit, or with a test of no volume, is refused loudly', () => {
    expect(() => judgeScreenTests(new Array(MOST_SCREEN_TESTS + 1).fill(trial(500, 9)), rule)).toThrow(/limit/);
    expect(() => judgeScreenTests([trial(0, 9)], rule)).toThrow(/volume/);
  });
});
