/**
 * Phases cover the run without a hole or an overlap, however its stream ends: while expanding, in a gap, in readings that
 * cannot be used.
 */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Sample } from '../../../src/channels.ts';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { recordOf } from '../../../src/record/record.ts';
import { type RunRecord, recordSchema } from '../../../src/record/recordSchema.ts';
import { instantOf, samplesOf, scenarioPlan } from '../pipeline/scenario.ts';
import { readTable } from '../table.ts';

const JOB = compileJob(scenarioPlan());

/** Expanding S1, a sample a second; data may be called lost after five seconds. */
const EXPANDING = samplesOf(
  readTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30    22.00  1015.60          790 | -
  120   900     9000   30    19.60  1018.00          790 | -
  180   900     9000   30    19.00  1018.60          790 | -`),
);

type Spoilt = Partial<Pick<Sample, 'bitDepth' | 'blockPosition' | 'standpipePressure' | 'rotation'>>;
const NO_DEPTH: Spoilt = { bitDepth: Number.NaN, blockPosition: Number.NaN };
const NO_PRESSURE: Spoilt = { standpipePressure: Number.NaN };

const runOf = (samples: readonly Sample[]): Run => {
  const run = createRun(JOB);
  for (const sample of samples) advance(run, { kind: 'sample', sample });
  return run;
};
const recordNow = (run: Run): RunRecord => recordOf(run, { frames: run.samples, rejected: 0, reasons: {} });
const spoiltFrom = (seconds: number, upTo: number, how: Spoilt): Sample[] =>
  EXPANDING.slice(0, upTo + 1).map((sample, i) => (i > seconds ? { ...sample, ...how } : sample));

/** Holds the chain of phases against the ends of the run, and their sums against the minutes. */
function expectWhole(record: RunRecord): void {
  const { phases, source, minutes } = record;
  expect(phases[0]!.from).toBe(source.from);
  expect(phases.at(-1)!.to).toBe(source.to);
  phases.forEach((phase, i) => {
    if (i > 0) expect(phase.from).toBe(phases[i - 1]!.to);
    expect(Date.parse(phase.to)).toBeGreaterThanOrEqual(Date.parse(phase.from));
  });
  const total = Object.values(minutes).reduce((sum, one) => sum + one, 0);
  // Each phase's minutes are rounded to a hundredth.
  const most = 0.005 * Object.keys(minutes).length + 1e-9;
  expect(Math.abs(total - (Date.parse(source.to) - Date.parse(source.from)) / 60_000)).toBeLessThanOrEqual(most);
}

describe('a stream that ends', () => {
  it('while expanding: the phase lasts to the end', () => {
    const record = recordNow(runOf(EXPANDING));
    expectWhole(record);
    expect(record.phases.at(-1)).toMatchObject({ phase: 'expanding screen', joint: 'S1', to: instantOf(180) });
  });

  it.each<[string, Spoilt]>([
    ['depths that cannot be read', NO_DEPTH],
    ['pressures that cannot be read', NO_PRESSURE],
    ['rotation that cannot be read', { rotation: Number.NaN }],
  ])('in %s: from the last valid sample on there is no data', (_what, how) => {
    const record = recordNow(runOf(spoiltFrom(150, 165, how)));
    expectWhole(record);
    expect(record.source.to).toBe(instantOf(165));
    expect(record.phases.slice(-2)).toMatchObject([
      { phase: 'expanding screen', joint: 'S1', to: instantOf(150) },
      { phase: 'no data', joint: 'S1', from: instantOf(150), to: instantOf(165) },
    ]);
    expect(record.minutes['no data']).toBe(0.25);
  });

  it.each([
    // seconds of silence | the last phase
    [5, 'expanding screen'],
    [6, 'no data'],
  ])('in %d s of silence, where the plan calls a gap what is longer than five: %s', (silentS, phase) => {
    const record = recordNow(runOf(spoiltFrom(150, 150 + silentS, NO_PRESSURE)));
    expectWhole(record);
    expect(record.phases.at(-1)!.phase).toBe(phase);
  });

  it('in silence again, right after a gap: one stretch without data, not two', () => {
    const lost = spoiltFrom(120, 140, NO_DEPTH).filter((_, i) => i < 100 || i >= 120);
    const record = recordNow(runOf(lost));
    expectWhole(record);
    expect(record.phases.slice(-2)).toMatchObject([
      { phase: 'expanding screen', joint: 'S1', to: instantOf(99) },
      { phase: 'no data', joint: 'S1', from: instantOf(99), to: instantOf(140) },
    ]);
  });

  it('in silence says the same however often it is asked, and goes on as if it had not been', () => {
    const gap = spoiltFrom(150, 165, NO_DEPTH);
    const asked = runOf(gap);
    expect(recordNow(asked)).toEqual(recordNow(asked));
    const rest = EXPANDING.slice(166);
    for (const sample of rest) advance(asked, { kind: 'sample', sample });
    expect(recordNow(asked)).toEqual(recordNow(runOf([...gap, ...rest])));
  });

  it('before anything could be read is no data from end to end, said once', () => {
    const record = recordNow(runOf(spoiltFrom(-1, 60, NO_DEPTH)));
    expectWhole(record);
    expect(record.phases).toEqual([{ phase: 'no data', joint: null, from: instantOf(0), to: instantOf(60) }]);
  });

  it('before it has begun has no phase', () => {
    expect(recordNow(createRun(JOB)).phases).toEqual([]);
  });
});

describe('streams of every kind, cut off anywhere', () => {
  /** Something of everything, a sample a second. */
  const TRIP = samplesOf(
    readTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30     6.00  1014.50          790 | -
   90   900     9000   30     4.20  1016.30          790 | -
   91   900     6000   30     4.18  1016.32          790 | low pressure
  130   900     6000   30     3.40  1017.10          790 | -
  150   900     9000   30     3.00  1017.50          790 | -
  170     0        0    0     3.00  1017.50          790 | pumps off
  172     0        0    0     3.00  1017.50          185 | slips
  230     0        0    0    29.00  1017.50          185 | -
  232     0        0    0    29.00  1017.50          790 | -
  270   900     9000   30    29.00  1017.50          790 | -
  330   900     9000   30    28.00  1018.50          790 | -
  380   900     9000   30    28.00  1018.50          740 | stalled
  420     0        0    0    31.00  1015.50          790 | lifted
  520   900     9000   30    29.00  1017.50          790 | -`),
  );
  const hole = fc.record({
    at: fc.nat(TRIP.length),
    seconds: fc.integer({ min: 1, max: 40 }),
    how: fc.constantFrom<Spoilt | 'left out'>(NO_DEPTH, NO_PRESSURE, { rotation: Number.NaN }, 'left out'),
  });

  it('have phases without hole or overlap', () => {
    let silent = 0;
    fc.assert(
      fc.property(fc.array(hole, { maxLength: 6 }), fc.integer({ min: 1, max: TRIP.length }), (holes, end) => {
        const samples = TRIP.slice(0, end).flatMap((sample, i) => {
          const found = holes.find(({ at, seconds }) => i >= at && i < at + seconds);
          if (!found) return [sample];
          return found.how === 'left out' ? [] : [{ ...sample, ...found.how }];
        });
        if (samples.length === 0) return;
        const record = recordNow(runOf(samples));
        expect(recordSchema.safeParse(record).error).toBeUndefined();
        expectWhole(record);
        if (record.phases.at(-1)!.phase === 'no data' && record.phases.length > 1) silent += 1;
      }),
      { numRuns: 150 },
    );
    expect(silent).toBeGreaterThan(0);
  });
});
