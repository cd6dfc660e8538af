/** Pressure at the tool through the run: what it is made of, and when it is not known. */
import { describe, expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import { createLossModel, modelLossKpa } from '../../../src/pipeline/lossModel.ts';
import { advance, createRun, type Run } from '../../../src/pipeline/run.ts';
import { toolPressureNow } from '../../../src/pipeline/toolPressure.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import { ENGINEERING_PART, EXAMPLE_PLAN } from '../plan/examplePlan.ts';

const END_M = 2400;
const planOf = (change: object = {}) => planSchema.parse({ ...EXAMPLE_PLAN, ...ENGINEERING_PART, ...change });

/** Steady readings, one a second. */
function samples(count: number, change: Partial<Sample>, fromS = 0): Sample[] {
  return Array.from({ length: count }, (_, i) => {
    const atMs = Date.UTC(2031, 2, 4) + (fromS + i) * 1000;
    return { ...emptySample(atMs, atMs), bitDepth: END_M, blockPosition: 20, hookload: 700, inSlips: 0, ...change };
  });
}

function play(all: readonly Sample[], change: object = {}, run: Run = createRun(compileJob(planOf(change)))): Run {
  for (const sample of all) advance(run, { kind: 'sample', sample });
  return run;
}

/** Bernoulli by hand: 590 kg/m³ · (Q / (0.95 · A))², Q in m³/s. */
const dropKpa = (flow: number, mm2: number): number => 0.59 * (flow / 60 / 0.95 / mm2) ** 2 * 1e6;

describe('pressure at the tool', () => {
  it('is the standpipe less the losses by the model, and what the nozzles make of the flow', () => {
    const run = play(samples(5, { flowIn: 900, standpipePressure: 9400 }));
    const model = createLossModel(run.job)!;
    const loss = modelLossKpa(model, run.job, 900, END_M);
    expect(run.toolPressure.fromStandpipeKpa).toBeCloseTo(9400 - loss, 6);
    const now = toolPressureNow(play(samples(20, { flowIn: 900, standpipePressure: 9400 })))!;
    expect(now.fromFlow!).toBeCloseTo(dropKpa(900, 140), 0);
    expect(now).toMatchObject({ losses: 'model', path: 'low', calibration: null });
    expect(now.sigma! / loss).toBeCloseTo(0.2, 2);
  });

  it('is none with the pumps off, and never below none', () => {
    expect(play(samples(5, { flowIn: 0, standpipePressure: 0 })).toolPressure.fromStandpipeKpa).toBe(0);
    expect(play(samples(5, { flowIn: 900, standpipePressure: 500 })).toolPressure.fromStandpipeKpa).toBe(0);
  });

  it.each([
    ['no flow', { standpipePressure: 9000 }, {}],
    ['no standpipe', { flowIn: 900 }, {}],
    ['no string', { flowIn: 900, standpipePressure: 9000 }, { string: undefined }],
    ['no fluid', { flowIn: 900, standpipePressure: 9000 }, { fluid: undefined }],
    ['no dials', { flowIn: 900, standpipePressure: 9000 }, { fluid: { density: 1180 } }],
  ] as const)('is not known: %s', (_, reading, change) => {
    expect(play(samples(5, reading), change).toolPressure.fromStandpipeKpa).toBeNaN();
  });

  it('is worked out with the flow of the strokes where none is read', () => {
    const strokes = 900 / (16.2 * 0.97);
    const run = play(samples(5, { strokeRate1: strokes, standpipePressure: 9400 }));
    expect(run.toolPressure.flow).toBeCloseTo(900, 6);
    expect(run.toolPressure.fromStandpipeKpa).toBeGreaterThan(7000);
  });

  it('uses the losses of this run once it has circulated free, says so in the record, and forgets them with another string', () => {
    const free = [600, 800, 1000].flatMap((flow, i) =>
      samples(60, { flowIn: flow, standpipePressure: dropKpa(flow, 140) + 0.0025 * flow * flow }, i * 60),
    );
    const run = play(free.map((sample) => ({ ...sample, bitDepth: END_M })));
    const record = recordOf(run, { frames: free.length, rejected: 0, reasons: {} });
    expect(record.toolPressure).toMatchObject({ losses: 'calibrated', calibration: { rates: 3 } });
    expect(run.toolPressure.fromStandpipeKpa / dropKpa(1000, 140)).toBeCloseTo(1, 3);
    const at = new Date(run.lastMs + 1000).toISOString();
    const change = (part: object) =>
      advance(run, { kind: 'journal', entry: { at, by: 'me', action: 'change plan', plan: planOf(part) } });
    change({ acceptance: { coverage: 0.9, longestGap: 0.5 } });
    expect(toolPressureNow(run)!.losses).toBe('calibrated');
    change({ string: [{ name: 'other', length: 2380, od: 114.3, id: 97.2, mass: 24.7 }] });
    expect(toolPressureNow(run)!.losses).toBe('model');
  });
});
