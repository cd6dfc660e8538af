/** The weight of the free string, and what rests on the tool. */
import { describe, expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import type { Way } from '../../../src/pipeline/motion.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { createStringWeight, learnStringWeight, type StringWeight, setDownOf } from '../../../src/pipeline/setDown.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { scenarioPlan } from './scenario.ts';

const sampleOf = (hookload: number, rotation = 30): Sample => ({ ...emptySample(0, 0), hookload, rotation });

/** A string that hangs free of every joint at work. */
function hanging(way: Way = 'still', inSlips = false, joint = -1): Run {
  const run = createRun(compileJob(scenarioPlan()));
  run.motion.way = way;
  run.slips.in = inSlips;
  run.work.joint = joint;
  return run;
}

function learnt(hookloads: readonly number[], run = hanging(), rotation = 30): StringWeight {
  const state = createStringWeight();
  for (const hookload of hookloads) learnStringWeight(state, run, sampleOf(hookload, rotation));
  return state;
}

describe('the free weight', () => {
  it('is not known before it has been read five times', () => {
    for (let n = 0; n < 5; n += 1) expect(setDownOf(learnt(Array(n).fill(790)), sampleOf(700))).toBeNaN();
    expect(setDownOf(learnt(Array(5).fill(790)), sampleOf(700))).toBe(90);
  });

  it('is the mean of its readings, up to forty of them', () => {
    const readings = Array.from({ length: 40 }, (_, i) => 780 + ((i * 7) % 23));
    const mean = readings.reduce((sum, one) => sum + one, 0) / readings.length;
    expect(learnt(readings).free).toBeCloseTo(mean, 9);
  });

  it('follows a string that has become heavier, each reading beyond the fortieth with a fortieth of the difference', () => {
    const state = learnt(Array(40).fill(800));
    learnStringWeight(state, hanging(), sampleOf(840));
    expect(state.free).toBeCloseTo(801, 9);
    for (let i = 0; i < 400; i += 1) learnStringWeight(state, hanging(), sampleOf(840));
    expect(state.free).toBeCloseTo(840, 1);
  });

  it.each([
    // way, in slips, joint at work, rpm, hookload | learnt
    ['still', false, -1, 30, 790, true],
    ['still', false, -1, 0, 790, true],
    ['still', false, -1, Number.NaN, 790, true],
    ['down', false, -1, 30, 790, true],
    ['down', false, -1, 5.1, 790, true],
    ['down', false, -1, 5, 790, false],
    ['down', false, -1, Number.NaN, 790, false],
    ['up', false, -1, 30, 790, false],
    ['still', true, -1, 30, 790, false],
    ['still', false, 2, 30, 790, false],
    ['still', false, 0, 30, 790, false],
    ['still', false, -1, 30, Number.NaN, false],
  ] as const)(
    'going %s, in slips %s, joint %d at work, %d rpm, %d kN: learnt: %s',
    (way, slips, joint, rpm, kN, is) => {
      const state = learnt([kN], hanging(way, slips, joint), rpm);
      expect([state.samples, state.free]).toEqual(is ? [1, kN] : [0, Number.NaN]);
    },
  );
});

describe('set-down', () => {
  it.each([
    // hookload, kN | set down, kN
    [790, 0],
    [700, 90],
    [830, -40],
    [Number.NaN, Number.NaN],
  ])('a hookload of %d kN on a string of 790 kN is %d kN', (hookload, wanted) => {
    expect(setDownOf(learnt(Array(5).fill(790)), sampleOf(hookload))).toBe(wanted);
  });
});
