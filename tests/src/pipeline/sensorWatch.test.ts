/** When the sensors are watched for standing still: only while pumps and rotation make them waver. */
import { describe, expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import {
  createSensorWatch,
  firstStuckMs,
  restSensors,
  type SensorWatch,
  WATCHED_SENSOR_NAMES,
  type WatchedSensor,
  watchSensors,
} from '../../../src/pipeline/sensorWatch.ts';
import { compileJob, type Job } from '../../../src/plan/job.ts';
import { scenarioPlan } from './scenario.ts';

/** Screens at 7500 kPa and isolation joints at 16000: pumps count as working above 2250. */
const JOB = compileJob(scenarioPlan());

/** Readings that waver while they work; the others of the watch follow each other. */
const WAVERING = ['standpipePressure', 'hookload', 'torque', 'flowIn', 'rotation'] as const;

interface Span {
  from: number;
  to: number;
  /** Readings that repeat themselves; the others waver. */
  stuck?: readonly WatchedSensor[];
  kPa?: number;
  rpm?: number;
  inSlips?: boolean;
  job?: Job;
}

const wavering = (s: number, about: number): number => about + ((s * 37) % 23) / 10;

function watch(state: SensorWatch, { from, to, stuck = [], kPa = 9000, rpm = 30, inSlips = false, job = JOB }: Span) {
  for (let s = from; s < to; s += 1) {
    const sample: Sample = emptySample(s * 1000, s * 1000);
    const about = { standpipePressure: kPa, hookload: 790, torque: 8, flowIn: 900, rotation: rpm };
    for (const name of WAVERING) sample[name] = stuck.includes(name) ? about[name] : wavering(s, about[name]);
    // 1.2 m/min down.
    sample.bitDepth = stuck.includes('bitDepth') ? 1012 : 1000 + 0.02 * s;
    sample.blockPosition = stuck.includes('blockPosition') ? 8 : 20 - 0.02 * s;
    watchSensors(state, job, sample, inSlips);
  }
}

/** A sensor watch that has seen ten minutes of wavering readings. */
function watched(): SensorWatch {
  const state = createSensorWatch();
  watch(state, { from: 0, to: 600 });
  return state;
}
const stuckOf = (state: SensorWatch): string[] =>
  WATCHED_SENSOR_NAMES.filter((name) => !Number.isNaN(state.stuckMs[name]));

it('nothing is stuck before there is anything, nor while all waver', () => {
  expect(firstStuckMs(createSensorWatch())).toBeNaN();
  expect(firstStuckMs(watched())).toBeNaN();
});

describe('a reading that repeats itself for a minute', () => {
  it.each(WAVERING)('%s is stuck, and is it since it stopped wavering', (name) => {
    const state = watched();
    watch(state, { from: 600, to: 660, stuck: [name] });
    expect(stuckOf(state)).toEqual([]);
    watch(state, { from: 660, to: 662, stuck: [name] });
    expect(stuckOf(state)).toEqual([name]);
    expect(state.stuckMs[name]).toBe(600_000);
    watch(state, { from: 662, to: 663 });
    expect(stuckOf(state)).toEqual([]);
  });

  it('of several, the first one tells since when', () => {
    const state = watched();
    watch(state, { from: 600, to: 620, stuck: ['torque'] });
    watch(state, { from: 620, to: 700, stuck: ['torque', 'standpipePressure'] });
    expect(stuckOf(state)).toEqual(['standpipePressure', 'torque']);
    expect(firstStuckMs(state)).toBe(600_000);
    watch(state, { from: 700, to: 701, stuck: ['standpipePressure'] });
    expect(firstStuckMs(state)).toBe(620_000);
  });
});

describe('a reading that may well stand still', () => {
  it.each<[string, Omit<Span, 'from' | 'to'>, string[]]>([
    ['in the slips', { inSlips: true }, []],
    ['pumps off', { kPa: 0 }, []],
    ['pressure just not up to work', { kPa: 2249 }, []],
    ['pressure just up to work', { kPa: 2260 }, ['hookload', 'torque']],
    ['pressure not read', { kPa: Number.NaN }, []],
    ['no rotation: torque has no reason to waver', { rpm: 0 }, ['hookload']],
    ['hardly any rotation', { rpm: 2 }, ['hookload']],
    ['rotation not read', { rpm: Number.NaN }, ['hookload']],
    ['turning', { rpm: 5.1 }, ['hookload', 'torque']],
  ])('%s', (_what, span, wanted) => {
    const state = watched();
    watch(state, { from: 600, to: 800, stuck: ['hookload', 'torque'], ...span });
    expect(stuckOf(state)).toEqual(wanted);
  });

  it.each([
    // recipes of the plan | pumps work above, kPa
    [['isolation', 'screen'], 2250],
    [['isolation'], 4800],
    [['screen'], 2250],
    [[], 0],
  ] as const)('the lowest minimum of %j sets where pumps begin to work: %d kPa', (kinds, above) => {
    const recipes = {
      isolation: undefined,
      screen: undefined,
      ...Object.fromEntries(kinds.map((k) => [k, JOB.recipes[k]])),
    };
    const job = { ...JOB, recipes } as Job;
    const state = watched();
    watch(state, { from: 600, to: 800, stuck: ['hookload'], kPa: above - 3, job });
    expect(stuckOf(state)).toEqual([]);
    const at = watched();
    watch(at, { from: 600, to: 800, stuck: ['hookload'], kPa: above + 1, job });
    expect(stuckOf(at)).toEqual(['hookload']);
  });

  it('a stretch without data between two equal readings is no repetition', () => {
    const state = watched();
    watch(state, { from: 600, to: 640, stuck: ['hookload'] });
    restSensors(state);
    watch(state, { from: 700, to: 740, stuck: ['hookload'] });
    expect(stuckOf(state)).toEqual([]);
  });
});

describe('block and end depth', () => {
  it.each(['blockPosition', 'bitDepth'] as const)('%s is stuck once the other has moved a metre and a half', (name) => {
    const state = watched();
    watch(state, { from: 600, to: 670, stuck: [name] });
    expect(stuckOf(state)).toEqual([]);
    watch(state, { from: 670, to: 690, stuck: [name] });
    expect(stuckOf(state)).toEqual([name]);
    watch(state, { from: 690, to: 691 });
    expect(stuckOf(state)).toEqual([]);
  });

  it.each<[string, Omit<Span, 'from' | 'to'>]>([
    ['in the slips the block moves alone', { inSlips: true }],
    ['without pumps nobody can tell the slips', { kPa: 0 }],
    ['nor without rotation', { rpm: 0 }],
  ])('%s', (_what, span) => {
    const state = watched();
    watch(state, { from: 600, to: 700, stuck: ['bitDepth'], ...span });
    expect(stuckOf(state)).toEqual([]);
  });

  it('stand together as long as they like', () => {
    const state = watched();
    watch(state, { from: 600, to: 700, stuck: ['bitDepth', 'blockPosition'] });
    expect(stuckOf(state)).toEqual([]);
  });
});
