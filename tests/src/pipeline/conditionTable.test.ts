/** Each row of the table of conditions by itself: when it stands, on which value, since when, and in which words. */
import { describe, expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import { EVENT_NAMES, EVENTS, type EventName } from '../../../src/events.ts';
import { BREACHES } from '../../../src/live/messages.ts';
import { inUnits } from '../../../src/measuredText.ts';
import type { Condition, Moment } from '../../../src/pipeline/condition.ts';
import { CONDITIONS } from '../../../src/pipeline/conditionTable.ts';
import { isFastNow } from '../../../src/pipeline/rollingConditions.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { scenarioPlan } from './scenario.ts';

/** Screens: 7500 to 11000 kPa, 15 rpm, 2 m/min, 12 kN·m. */
const JOB = compileJob(scenarioPlan());
const SCREEN = JOB.recipes.screen!;
const NOW_MS = 1_000_000;

interface Given {
  kPa?: number;
  rpm?: number;
  torque?: number;
  recipe?: Moment['recipe'] | 'none';
  advancing?: boolean;
  /** The event is open already: the dead band counts. */
  open?: EventName;
  change?: (run: Run) => void;
}

function moment({
  kPa = 9000,
  rpm = 30,
  torque = 8,
  recipe = SCREEN,
  advancing = true,
  open,
  change,
}: Given = {}): Moment {
  const run = createRun(JOB);
  if (open) run.events.watches[open].open = 0;
  run.pressures.standpipe = kPa;
  change?.(run);
  const sample: Sample = { ...emptySample(NOW_MS, NOW_MS), standpipePressure: kPa, rotation: rpm, torque };
  return { run, sample, recipe: recipe === 'none' ? undefined : recipe, advancing };
}
const row = (kind: EventName): Condition => CONDITIONS.find((one) => one.kind === kind)!;
const standing = (given: Given): EventName[] => {
  const at = moment(given);
  return CONDITIONS.filter((condition) => condition.stands(at)).map(({ kind }) => kind);
};

/** Too fast a feed, proven up to the last second, on ground that is not expanded yet. */
const fast = (run: Run): void => {
  run.provenFastMs[1] = NOW_MS - 1000;
  run.provenFastFromMs[1] = NOW_MS - 20_000;
  run.work.newGround = true;
  run.work.newGroundMs = NOW_MS - 30_000;
  run.motion.feed = 3.1;
};
const stalled = (run: Run): void => {
  run.stalledMs = NOW_MS - 40_000;
};
const stuck = (run: Run): void => {
  run.sensors.stuckMs.hookload = NOW_MS - 70_000;
  run.sensors.stuckMs.torque = NOW_MS - 90_000;
};

describe('what stands', () => {
  it.each<[string, Given, EventName[]]>([
    ['all within every bound', {}, []],
    ['pressure at its least', { kPa: 7500 }, []],
    ['pressure below', { kPa: 7499 }, ['low pressure']],
    ['pressure below, nothing advancing', { kPa: 0, advancing: false }, []],
    ['pressure below, nothing at work', { kPa: 0, recipe: 'none' }, []],
    ['pressure not read', { kPa: Number.NaN }, []],
    ['pressure at its most', { kPa: 11_000 }, []],
    ['pressure above', { kPa: 11_001 }, ['high pressure']],
    ['pressure above while standing: the tool does not care', { kPa: 11_001, advancing: false }, ['high pressure']],
    ['pressure above, nothing at work', { kPa: 11_001, recipe: 'none' }, []],
    ['torque at its most', { torque: 12 }, []],
    ['torque above', { torque: 12.1 }, ['high torque']],
    ['torque above while standing', { torque: 12.1, advancing: false }, ['high torque']],
    ['torque above, nothing at work', { torque: 12.1, recipe: 'none' }, []],
    ['torque not read', { torque: Number.NaN }, []],
    ['rotation at its least', { rpm: 15 }, []],
    ['rotation below', { rpm: 14.9 }, ['rotation lost']],
    ['rotation below, nothing advancing', { rpm: 0, advancing: false }, []],
    ['rotation below, nothing at work', { rpm: 0, recipe: 'none' }, []],
    ['rotation not read', { rpm: Number.NaN }, []],
    ['both lost', { kPa: 100, rpm: 0 }, ['low pressure', 'rotation lost']],
    ['too fast', { change: fast }, ['fast feed']],
    ['too fast, pressure and rotation not read', { change: fast, kPa: Number.NaN, rpm: Number.NaN }, ['fast feed']],
    ['too fast, without pressure: that is the trouble', { change: fast, kPa: 7000 }, ['low pressure']],
    ['too fast, without rotation: that is the trouble', { change: fast, rpm: 3 }, ['rotation lost']],
    ['too fast, and standing by now', { change: fast, advancing: false }, []],
    ['too fast, nothing at work', { change: fast, recipe: 'none' }, []],
    [
      'too fast over ground that is expanded',
      {
        change: (run) => {
          fast(run);
          run.work.newGround = false;
        },
      },
      [],
    ],
    [
      'too fast for an isolation joint only',
      {
        change: (run) => {
          fast(run);
          run.provenFastMs = [NOW_MS, Number.NaN];
        },
      },
      [],
    ],
    ['stalled', { change: stalled, advancing: false }, ['stall']],
    ['stalled, nothing at work', { change: stalled, recipe: 'none' }, []],
    ['sensors stuck', { change: stuck }, ['stuck sensor']],
    ['sensors stuck, nothing at work', { change: stuck, recipe: 'none', advancing: false }, ['stuck sensor']],
  ])('%s', (_what, given, wanted) => {
    expect(standing(given)).toEqual(wanted);
  });
});

describe('the dead band: an open event stands until the value has come back by its share of the bound', () => {
  it.each<[EventName, keyof Given, number, number]>([
    // event | reading | back by less | back by more
    ['low pressure', 'kPa', 7649, 7651],
    ['high pressure', 'kPa', 10_671, 10_669],
    ['high torque', 'torque', 11.41, 11.39],
    ['rotation lost', 'rpm', 15.74, 15.76],
  ])('%s by %s', (kind, reading, less, more) => {
    expect(standing({ [reading]: less, open: kind })).toEqual([kind]);
    expect(standing({ [reading]: less })).toEqual([]);
    expect(standing({ [reading]: more, open: kind })).toEqual([]);
  });

  it('a condition that stands and is no event yet asks for it too', () => {
    const change = (run: Run): void => {
      run.events.watches['low pressure'].sinceMs = NOW_MS - 1000;
    };
    expect(standing({ kPa: 7600, change })).toEqual(['low pressure']);
  });
});

describe('what is said', () => {
  it.each<[EventName, Given, number, number | undefined, string]>([
    // event | at | value | since, s before now | words, with that value as the worst
    ['low pressure', { kPa: 6010 }, 6010, undefined, 'down to 6010 kPa, at least 7500 kPa wanted'],
    ['high pressure', { kPa: 11_500 }, 11_500, undefined, 'up to 11500 kPa, at most 11000 kPa allowed'],
    ['high torque', { torque: 12.34 }, 12.34, undefined, 'up to 12.3 kN·m, at most 12.0 kN·m allowed'],
    ['rotation lost', { rpm: 4 }, 4, undefined, 'down to 4 rpm, at least 15 rpm wanted'],
    ['fast feed', { change: fast }, 3.1, 20, 'up to 3.10 m/min, at most 2.00 m/min allowed'],
    ['stall', { change: stalled }, 8, 40, 'rolling without getting deeper, torque up to 8.0 kN·m'],
    ['stall', { change: stalled, torque: Number.NaN }, Number.NaN, 40, 'rolling without getting deeper'],
    ['stuck sensor', { change: stuck }, 0, 90, 'hookload, torque repeats one reading'],
  ])('%s', (kind, given, value, sinceS, words) => {
    const at = moment(given);
    const condition = row(kind);
    expect(condition.value(at)).toBe(value);
    expect(condition.sinceMs?.(at)).toBe(sinceS === undefined ? undefined : NOW_MS - sinceS * 1000);
    expect(inUnits(condition.says(at, value), 'metric')).toBe(words);
  });

  it('too fast a feed on new ground counts from the new ground on', () => {
    const change = (run: Run): void => {
      fast(run);
      run.work.newGroundMs = NOW_MS - 5000;
    };
    expect(row('fast feed').sinceMs!(moment({ change }))).toBe(NOW_MS - 5000);
  });

  it('in field units for who reads those', () => {
    expect(inUnits(row('low pressure').says(moment(), 6000), 'field')).toBe(
      'down to 870 psi, at least 1088 psi wanted',
    );
  });
});

describe('the table', () => {
  it('has each event at most once; those beside it are written where they are found', () => {
    const kinds = CONDITIONS.map(({ kind }) => kind);
    expect(new Set(kinds).size).toBe(kinds.length);
    const beside = EVENT_NAMES.filter((kind) => !kinds.includes(kind));
    expect(beside).toEqual([
      'data gap',
      'depth jump',
      'short overlap',
      'depth mismatch',
      'ball overdue',
      'hanger moved',
      'test not passed',
    ]);
    for (const kind of beside) expect(EVENTS[kind].onDelayMs).toBe(0);
  });

  it.each<[EventName, number, 'low' | 'high']>([
    ['low pressure', BREACHES.pressure, 'low'],
    ['high pressure', BREACHES.pressure, 'high'],
    ['high torque', BREACHES.torque, 'high'],
    ['rotation lost', BREACHES.rotation, 'low'],
    ['fast feed', BREACHES.feed, 'high'],
    ['stall', 0, 'high'],
    ['stuck sensor', 0, 'low'],
  ])('%s marks its own trace, and its worst value is the %d %s one', (kind, breach, worseIs) => {
    expect([row(kind).breach, row(kind).worseIs]).toEqual([breach, worseIs]);
  });
});

describe('fast now', () => {
  it.each([
    // last proof, s ago | frame period, s | fast now
    [0, 1, true],
    [3, 1, true],
    [3.1, 1, false],
    [11, 5, true],
    [11.1, 5, false],
    [Number.NaN, 1, false],
  ])('proven %d s ago, a frame in %d s: %s', (agoS, periodS, wanted) => {
    const run = createRun(JOB);
    run.period.medianMs = periodS * 1000;
    run.provenFastMs = [Number.NaN, NOW_MS - agoS * 1000];
    expect(isFastNow(run, SCREEN, NOW_MS)).toBe(wanted);
    expect(isFastNow(run, JOB.recipes.isolation!, NOW_MS)).toBe(false);
  });
});
