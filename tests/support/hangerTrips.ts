/** Trips that set their hanger before the expansion, and the plan for them. Invented figures within what is common practice. */
import type { HangerFault } from '../../ingest/simulator/scenario.ts';
import type { Truth } from '../../ingest/simulator/simulateTrip.ts';
import { type RigReading, simulateTrip } from '../../ingest/simulator/simulateTrip.ts';
import { emptySample, type Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { advance } from '../../src/pipeline/run.ts';
import { createRun, type Run } from '../../src/pipeline/runState.ts';
import { compileJob } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { testPlan, testScenario } from './trips.ts';

/** 10 % in 30 min: 30 CFR 250.721, here with a shorter hold so that the trips stay short. */
export const ANNULUS_RULE = 'as 30 CFR 250.721: at most 10 %; held 10 min';
export const HANGER_PARTS = {
  string: [
    { name: 'drill pipe', length: 2400, od: 88.9, id: 70.2, mass: 23.0 },
    { name: 'heavy pipe', length: 60, od: 88.9, id: 52.4, mass: 38.0 },
  ],
  surface: { blockWeight: 180, pumps: [{ name: '1', displacement: 16.2, efficiency: 1 }] },
  balls: [
    {
      name: 'setting ball',
      purpose: 'set hanger',
      seat: 2405,
      flow: 600,
      slowBefore: 2.4,
      slowFlow: 160,
      overdueAfter: 1.2,
    },
    {
      name: 'sub ball',
      purpose: 'open circulating sub',
      seat: 2380,
      flow: 600,
      slowBefore: 2.4,
      slowFlow: 160,
      overdueAfter: 1.2,
    },
  ],
  hanger: {
    steps: [
      { name: 'slips', pressure: 10000, hold: 3 },
      { name: 'packer', pressure: 17000, hold: 4 },
      { name: 'seat', pressure: 24000, hold: 1, shears: true },
    ],
    pull: { up: 150, down: 120, residual: 0.15 },
    annulusTest: { pressure: 7000, hold: 10, stabilised: 35, maxDecline: 0.1, rule: ANNULUS_RULE },
    linerWeight: 110,
  },
};

/** The test plan with a string, balls and a hanger. */
export function hangerPlan(): Plan {
  return planSchema.parse({ ...JSON.parse(JSON.stringify(testPlan())), ...HANGER_PARTS });
}

export interface PlayedHanger {
  readonly run: Run;
  readonly record: RunRecord;
  readonly truth: Truth;
}

export function sampleOf(reading: RigReading): Sample {
  const { feed: _f, setDown: _s, sourceMs, inSlips: _i, ...channels } = reading;
  return { ...emptySample(sourceMs, sourceMs), ...channels };
}

/** The entries that somebody on the floor would have written. */
export function ballJournal(truth: Truth): JournalEntry[] {
  return (truth.hanger ?? [])
    .filter(({ kind }) => kind === 'ball')
    .map(({ name, fromMs }) => ({
      at: new Date(fromMs).toISOString(),
      by: 'floor',
      action: 'drop ball' as const,
      ball: name,
    }));
}

export function playSamples(
  plan: Plan,
  samples: readonly Sample[],
  journal: readonly JournalEntry[],
): Omit<PlayedHanger, 'truth'> {
  const run = createRun(compileJob(plan));
  const waiting = [...journal];
  for (const sample of samples) {
    while (waiting[0] && Date.parse(waiting[0].at) <= sample.sourceMs)
      advance(run, { kind: 'journal', entry: waiting.shift()! });
    advance(run, { kind: 'sample', sample });
  }
  for (const entry of waiting) advance(run, { kind: 'journal', entry });
  return { run, record: recordOf(run, { frames: samples.length, rejected: 0, reasons: {} }) };
}

export interface HangerTripOptions {
  readonly faults?: HangerFault[];
  readonly openSub?: boolean;
  readonly journal?: boolean;
  readonly framePeriod?: number;
  readonly noise?: number;
}

export function playHangerTrip(seed: number, options: HangerTripOptions = {}, plan = hangerPlan()): PlayedHanger {
  const { faults = [], openSub = false, framePeriod = 1, noise = 1 } = options;
  const scenario = testScenario(seed, {
    hanger: { faults, openSub },
    noise,
    stream: { framePeriod },
  });
  const { readings, truth } = simulateTrip(scenario, plan);
  const journal = options.journal === false ? [] : ballJournal(truth);
  return { ...playSamples(plan, readings.map(sampleOf), journal), truth };
}
