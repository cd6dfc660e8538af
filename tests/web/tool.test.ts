/** What happens at the tool, in words. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { WELL_CONTROL_CAUTION } from '../../src/events.ts';
import { compileJob } from '../../src/plan/job.ts';
import { eventLists, eventName, ofKind } from '../../web/events/eventWords.ts';
import { shortened, stepInSight, stepTitle } from '../../web/tool/stepWords.ts';
import {
  feedPerTurnInWords,
  finishInWords,
  lossesInWords,
  rigMinute,
  sigmaInWords,
  signed,
} from '../../web/tool/toolWords.ts';
import { judgedAtIn } from '../../web/traces/judgedAt.ts';
import {
  event,
  nowAt,
  OPEN_TEST,
  SCENE_JOB,
  SCENE_START_MS,
  STEPS,
  TOOL_PLAN,
  TOOL_PRESSURE,
} from '../support/liveScenes.ts';

const HOUR_MS = 3_600_000;

describe('losses', () => {
  test.each([
    // losses | sigma, kPa | standpipe, kPa | says
    ['calibrated', 110, 9140, 'losses calibrated 13:02, 3 rates'],
    ['model', 364, 9140, 'losses by the model, ± 20 %'],
    ['model', 364, null, 'losses by the model'],
    ['model', null, 9140, 'losses by the model'],
    ['model', 364, 7000, 'losses by the model'],
    ['none', 110, 9140, 'losses not known'],
  ] as const)('%s with %j kPa at %j kPa: %s', (losses, sigma, standpipe, says) => {
    expect(lossesInWords({ ...TOOL_PRESSURE, losses, sigma }, standpipe, HOUR_MS)).toBe(says);
  });

  test('one rate is one rate', () => {
    const calibration = { ...TOOL_PRESSURE.calibration!, rates: 1 };
    expect(lossesInWords({ ...TOOL_PRESSURE, calibration }, 9140, 0)).toBe('losses calibrated 12:02, 1 rate');
  });
});

test('an uncertainty is rounded up to what is shown, and is never nought', () => {
  expect(sigmaInWords(null, 'metric')).toBe('');
  fc.assert(
    fc.property(fc.double({ min: 0, max: 20, noNaN: true }), (sigmaM) => {
      const metres = Number(sigmaInWords(sigmaM, 'metric').replace('± ', ''));
      expect(metres).toBeGreaterThanOrEqual(Math.max(0.01, sigmaM - 1e-8));
      expect(metres).toBeLessThanOrEqual(Math.max(0.01, sigmaM) + 0.01);
      const feet = Number(sigmaInWords(sigmaM, 'field').replace('± ', ''));
      expect(feet).toBeGreaterThanOrEqual(Math.max(0.1, sigmaM / 0.3048 - 1e-8));
      expect(feet).toBeLessThanOrEqual(Math.max(0.1, sigmaM / 0.3048) + 0.1);
    }),
  );
});

test.each([
  [1.8, 'metric', '+1.80'],
  [-1.8, 'metric', '−1.80'],
  [-1.8, 'field', '−5.9'],
  [0.001, 'metric', '0.00'],
  [-0.001, 'metric', '0.00'],
] as const)('a change of %d m, %s: %s', (metres, system, says) => {
  expect(signed(metres, system)).toBe(says);
});

test('feed per turn: 15.24 mm is 0.60 in (an inch is 25.4 mm); nothing while nothing turns', () => {
  const bounds = { ...nowAt(2467).bounds, feedPerTurnMax: 0.02286 };
  expect(feedPerTurnInWords(nowAt(2467, { feedPerTurn: 0.01524 }), 'metric')).toBe('15 mm/turn');
  expect(feedPerTurnInWords(nowAt(2467, { feedPerTurn: 0.01524, bounds }), 'field')).toBe('0.60 in/turn, max 0.90');
  expect(feedPerTurnInWords(nowAt(2467, { feedPerTurn: null, bounds }), 'metric')).toBe('');
});

describe('the finish', () => {
  const at = (hours: number) => SCENE_START_MS + hours * HOUR_MS;
  test.each([
    // from, to: hours from 13:30 on the rig's clock | says
    [1, 2, '14:30 to 15:30'],
    [1, 1, '14:30'],
    [9, 11, '22:30 to 00:30 +1 d'],
    [30, 40, '19:30 to 05:30 +2 d'],
  ])('%d to %d h: %s', (from, to, says) => {
    expect(finishInWords({ fromMs: at(from), toMs: at(to) }, SCENE_START_MS, HOUR_MS)).toBe(says);
  });
  test('too little seen yet is a dash', () => {
    expect(finishInWords(null, SCENE_START_MS, 0)).toBe('–');
    expect(rigMinute(Date.UTC(2031, 0, 1, 23, 59), 60_000)).toBe('00:00');
  });
});

describe('steps', () => {
  test('the one underway is in sight, else the newest', () => {
    expect(stepInSight([])).toBeNull();
    expect(stepInSight(STEPS)).toBe(STEPS.at(-1));
    expect(stepInSight([OPEN_TEST, ...STEPS])).toBe(OPEN_TEST);
  });
  test('a name of its own stands beside the kind', () => {
    expect(STEPS.map(stepTitle)).toEqual(['ball: setting ball', 'pressure step: slips', 'push and pull', 'release']);
  });
  test('words that are too many are cut between two of them', () => {
    expect(shortened('holding 6900 kPa')).toBe('holding 6900 kPa');
    fc.assert(
      fc.property(fc.string({ maxLength: 80 }), (text) => {
        const cut = shortened(text, 30);
        expect(cut.length).toBeLessThanOrEqual(30);
        expect(text.startsWith(cut.replace(/…$/, ''))).toBe(true);
      }),
    );
    expect(shortened('one two three four', 12)).toBe('one two…');
  });
});

describe('events', () => {
  test('well control comes before everything, however urgent and new the rest', () => {
    const { open } = eventLists([
      event(1, { kind: 'high torque', priority: 'high', fromMs: 90 }),
      event(2, { kind: 'gain', priority: 'high', fromMs: 10 }),
      event(3, { kind: 'losses', priority: 'high', fromMs: 20 }),
      event(4, { kind: 'stall', priority: 'high', fromMs: 99 }),
    ]);
    expect(open.map(({ id }) => id)).toEqual([3, 2, 4, 1]);
    expect(ofKind({ kind: 'gain' }).lookFirst).toContain(WELL_CONTROL_CAUTION);
    expect(ofKind({ kind: 'losses' }).lookFirst).toContain(WELL_CONTROL_CAUTION);
  });
  test('a stall says its form where it is known', () => {
    expect(eventName(event(1, { kind: 'stall', form: 'rotational' }))).toBe('rotational stall');
    expect(eventName(event(1, { kind: 'stall' }))).toBe('stall');
  });
});

describe('which pressure a window is about', () => {
  test('is told from its bounds, kept to 32 bits', () => {
    const at = judgedAtIn(compileJob(TOOL_PLAN));
    expect([at(6500, 9500), at(Math.fround(14_000), 19_000)]).toEqual(['tool', 'tool']);
    expect([at(7500, 11_000), at(Number.NaN, Number.NaN)]).toEqual(['standpipe', 'standpipe']);
  });
  test('without a plan, and by a plan of the standpipe, it is the standpipe', () => {
    expect(judgedAtIn(null)(6500, 9500)).toBe('standpipe');
    expect(judgedAtIn(SCENE_JOB)(7500, 11_000)).toBe('standpipe');
  });
  test('a bound that is left out is one that was not kept', () => {
    const { max: _, ...open } = TOOL_PLAN.recipes.screen!.pressure!;
    const screen = { ...TOOL_PLAN.recipes.screen!, pressure: open };
    const at = judgedAtIn(compileJob({ ...TOOL_PLAN, recipes: { ...TOOL_PLAN.recipes, screen } }));
    expect([at(6500, Number.NaN), at(6500, 9500)]).toEqual(['tool', 'standpipe']);
  });
});
