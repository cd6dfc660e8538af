/** The record of a run: promised form, whole phases, and nothing that depends on when or how often it is asked for. */

import { concat, from, lastValueFrom } from 'rxjs';
import { describe, expect, it } from 'vitest';
import type { Sample } from '../../../src/channels.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { pipeline } from '../../../src/pipeline/pipeline.ts';
import { advance, type PipelineInput } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { eventsOf, jointStateOf, nowOf, traceRowOf } from '../../../src/pipeline/view.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import { type RunRecord, recordSchema } from '../../../src/record/recordSchema.ts';
import { converter } from '../../../src/units.ts';
import { instantOf, START_MS, samplesOf, scenarioPlan } from '../pipeline/scenario.ts';
import { readTable } from '../table.ts';

/** Low pressure, a connection, a gap, a lift and a second pass, a jump of depth: something of everything. */
const TRIP = samplesOf(
  readTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30     6.00  1014.50          790 | -
   90   900     9000   30     4.20  1016.30          790 | -
   91   900     6000   30     4.18  1016.32          790 | low pressure
  130   900     6000   30     3.40  1017.10          790 | -
  131   900     9000   30     3.38  1017.12          790 | -
  150   900     9000   30     3.00  1017.50          790 | -
  170     0        0    0     3.00  1017.50          790 | pumps off
  172     0        0    0     3.00  1017.50          185 | slips
  260     0        0    0    29.00  1017.50          185 | -
  262     0        0    0    29.00  1017.50          790 | -
  300   900     9000   30    29.00  1017.50          790 | -
  330   900     9000   30    28.40  1018.10          790 | -
  331     -        -    -        -        -            - | no data
  350   900     9000   30    28.00  1018.50          790 | -
  450   900     9000   30    26.00  1020.50          790 | -
  500     0        0    0    31.00  1015.50          790 | lifted
  530   900     9000   30    31.00  1015.50          790 | -
  700   900     9000   30    27.60  1018.90          790 | -
  800   900     9000   30    25.60  1020.90          790 | -
  900   900     9000   30    23.60  1022.90          790 | inside S2
`),
);
const JOURNAL: JournalEntry[] = [
  { at: instantOf(400.5), by: 'A. Person', action: 'note', text: 'hand over' },
  { at: instantOf(410.5), by: 'A. Person', action: 'acknowledge', event: 'low pressure' },
  { at: instantOf(600.5), by: 'A. Person', action: 'set depth', tool: 'lower', depth: 1015.95 },
];

const INPUTS: PipelineInput[] = [
  ...TRIP.map((sample) => ({ atMs: sample.sourceMs, input: { kind: 'sample' as const, sample } })),
  ...JOURNAL.map((entry) => ({ atMs: Date.parse(entry.at), input: { kind: 'journal' as const, entry } })),
]
  .sort((a, b) => a.atMs - b.atMs)
  .map(({ input }) => input);

const COUNTS = { frames: TRIP.length, rejected: 2, reasons: { 'no trailer': 2, 'bad item': 0 } };
const newRun = (plan: Plan = scenarioPlan()): Run => createRun(compileJob(plan));
const recordNow = (run: Run): RunRecord => recordOf(run, COUNTS);

function recordOfTrip(plan?: Plan): RunRecord {
  const run = newRun(plan);
  for (const input of INPUTS) advance(run, input);
  return recordNow(run);
}
const RECORD = recordOfTrip();

describe('the promised form', () => {
  it('follows its schema, and carries nothing that is not in it', () => {
    expect(recordSchema.parse(RECORD)).toEqual(RECORD);
    expect(JSON.parse(JSON.stringify(RECORD))).toEqual(RECORD);
  });

  it('tells of the source what was counted', () => {
    expect(RECORD.source).toEqual({
      frames: TRIP.length,
      rejected: 2,
      from: instantOf(0),
      to: instantOf(900),
      reasons: { 'no trailer': 2 },
    });
  });

  it('has each joint of the plan, in order, and its arithmetic holds', () => {
    expect(RECORD.joints.map((joint) => joint.name)).toEqual(['Z1', 'B1', 'S1', 'S2']);
    for (const joint of RECORD.joints) {
      if (joint.required > 0) expect(joint.coverage).toBeCloseTo(joint.expanded / joint.required, 3);
      const gaps = joint.gaps.reduce((sum, gap) => sum + gap.to - gap.from, 0);
      expect(gaps + joint.expanded, joint.name).toBeCloseTo(joint.required, 2);
      const unproven = joint.gaps
        .filter((gap) => gap.cause === 'no data')
        .reduce((sum, gap) => sum + gap.to - gap.from, 0);
      expect(unproven).toBeCloseTo(joint.unproven, 2);
      if (joint.kind !== 'blank')
        expect(joint.longestGap).toBeGreaterThanOrEqual(
          Math.max(0, ...joint.gaps.map((gap) => gap.to - gap.from)) - 1e-9,
        );
    }
  });

  it('holds what the trip was', () => {
    expect(RECORD.events.map((event) => event.kind)).toEqual(['low pressure', 'data gap']);
    expect(RECORD.events[0]!.acknowledged).toEqual({ by: 'A. Person', at: instantOf(410.5) });
    expect(RECORD.joints[2]).toMatchObject({ verdict: 'expanded', passes: 2 });
    expect(RECORD.joints[3]).toMatchObject({ verdict: 'in progress', passes: 1, zone: 'B' });
    expect(RECORD.joints[0]).toMatchObject({
      verdict: 'not reached',
      expanded: 0,
      pressure: null,
      feed: null,
      startedAt: null,
    });
    expect(RECORD.joints[1]).toMatchObject({ verdict: 'not planned', required: 0, gaps: [] });
    expect(RECORD.minutes['making connection']).toBeCloseTo(1.5, 0);
    expect(RECORD.journal!.map((entry) => entry.action)).toEqual(['note', 'acknowledge', 'set depth']);
  });

  it('phases cover the run without a hole or an overlap, and the minutes are theirs', () => {
    expect(RECORD.phases[0]!.from).toBe(RECORD.source.from);
    expect(RECORD.phases.at(-1)!.to).toBe(RECORD.source.to);
    RECORD.phases.forEach((phase, i) => {
      expect(phase.to > phase.from).toBe(true);
      if (i > 0) expect(phase.from).toBe(RECORD.phases[i - 1]!.to);
    });
    const minutes = Object.values(RECORD.minutes).reduce((sum, one) => sum + one, 0);
    expect(minutes).toBeCloseTo(15, 1);
  });

  it('a run without a sample has an empty record that follows the schema', () => {
    const record = recordOf(newRun(), { frames: 0, rejected: 0, reasons: {} });
    expect(recordSchema.parse(record)).toMatchObject({
      phases: [],
      events: [],
      source: { from: '1970-01-01T00:00:00.000Z' },
    });
  });

  it('a stream that ends in silence ends in no data', () => {
    const run = newRun();
    for (const sample of TRIP.slice(0, 100)) advance(run, { kind: 'sample', sample });
    const last = run.lastMs;
    for (let s = 1; s <= 30; s += 1) {
      advance(run, {
        kind: 'sample',
        sample: { ...TRIP[0]!, bitDepth: Number.NaN, blockPosition: Number.NaN, sourceMs: last + s * 1000 },
      });
    }
    expect(recordNow(run).phases.at(-1)).toMatchObject({ phase: 'no data', from: new Date(last).toISOString() });
  });
});

describe('asking changes nothing', () => {
  it('twice is the same, to the byte', () => {
    const run = newRun();
    for (const input of INPUTS) advance(run, input);
    const first = JSON.stringify(recordNow(run));
    expect(JSON.stringify(recordNow(run))).toBe(first);
    expect(first).toBe(JSON.stringify(RECORD));
  });

  it('asking for everything after every sample ends in the same record as never asking', () => {
    const run = newRun();
    for (const input of INPUTS) {
      advance(run, input);
      recordNow(run);
      nowOf(run);
      if (run.sample) traceRowOf(run);
      eventsOf(run);
      for (const joint of run.job.joints) jointStateOf(run, joint.index);
    }
    expect(JSON.stringify(recordNow(run))).toBe(JSON.stringify(RECORD));
  });

  it('a record asked for in mid-run agrees with the one of a stream that ends there', () => {
    const whole = newRun();
    INPUTS.forEach((input, i) => {
      advance(whole, input);
      if (i % 97 !== 0) return;
      const cut = newRun();
      for (const one of INPUTS.slice(0, i + 1)) advance(cut, one);
      expect(JSON.stringify(recordNow(whole))).toBe(JSON.stringify(recordNow(cut)));
    });
  });
});

describe('the same inputs give the same bytes', () => {
  it('through the stream of the live service, in one piece or in many', async () => {
    const oneByOne = await lastValueFrom(from(INPUTS).pipe(pipeline(compileJob(scenarioPlan()))));
    const pieces = [INPUTS.slice(0, 1), INPUTS.slice(1, 200), INPUTS.slice(200, 201), INPUTS.slice(201)];
    const chunked = await lastValueFrom(
      concat(...pieces.map((piece) => from(piece))).pipe(pipeline(compileJob(scenarioPlan()))),
    );
    expect(JSON.stringify(recordNow(oneByOne))).toBe(JSON.stringify(RECORD));
    expect(JSON.stringify(recordNow(chunked))).toBe(JSON.stringify(RECORD));
  });

  it('when they arrived does not matter: replayed is as live', () => {
    const run = newRun();
    for (const input of INPUTS) {
      advance(
        run,
        input.kind === 'sample'
          ? { kind: 'sample', sample: { ...input.sample, arrivalMs: input.sample.sourceMs + 86_400_000 } }
          : input,
      );
    }
    expect(JSON.stringify(recordNow(run))).toBe(JSON.stringify(RECORD));
  });

  it('the state is plain data: a run kept as JSON apart from NaN would be read back whole', () => {
    const run = newRun();
    for (const input of INPUTS.slice(0, 300)) advance(run, input);
    const copy = structuredClone({ ...run, job: null });
    const back: Run = { ...copy, job: run.job } as Run;
    for (const input of INPUTS.slice(300)) {
      advance(run, input);
      advance(back, input);
    }
    expect(JSON.stringify(recordNow(back))).toBe(JSON.stringify(RECORD));
  });
});

describe('units', () => {
  /** The same plan in feet, psi and klbf, worked out from the metric one. */
  function fieldPlan(): Plan {
    const plan = scenarioPlan();
    const field = converter('field');
    const ft = (m: number): number => field.out('length', m);
    const recipe = (r: NonNullable<Plan['recipes']['screen']>) => ({
      tools: r.tools,
      pressure: { min: field.out('pressure', r.pressure!.min!), max: field.out('pressure', r.pressure!.max!) },
      rpm: r.rpm,
      feed: { max: field.out('feed', r.feed!.max!) },
      torque: { max: field.out('torque', r.torque!.max!) },
    });
    return planSchema.parse({
      ...plan,
      units: 'field',
      liner: {
        top: ft(plan.liner.top),
        joints: plan.liner.joints.map((joint) => ({
          ...joint,
          length: ft(joint.length),
          ...(joint.expandFrom === undefined
            ? {}
            : { expandFrom: ft(joint.expandFrom), expandTo: ft(joint.expandTo!) }),
        })),
      },
      tools: plan.tools.map((tool) => ({ ...tool, offset: ft(tool.offset) })),
      recipes: { isolation: recipe(plan.recipes.isolation!), screen: recipe(plan.recipes.screen!) },
      acceptance: { coverage: 0.97, longestGap: ft(0.3) },
      limits: { stall: { feed: ft(0.05), seconds: 30 } },
      surface: { blockWeight: field.out('force', 180) },
    });
  }
  /** The journal speaks in the plan's units as well: left out here. */
  const samplesOnly = (plan: Plan): RunRecord => {
    const run = newRun(plan);
    for (const sample of TRIP) advance(run, { kind: 'sample', sample: sample as Sample });
    return recordNow(run);
  };

  it('a run under a field plan is the run under the metric one, in feet and psi', () => {
    const metric = samplesOnly(scenarioPlan());
    const field = samplesOnly(fieldPlan());
    const toFeet = (m: number): number => m / 0.3048;
    const toPsi = (kPa: number): number => kPa / 6.894757;
    expect(field.units).toBe('field');
    metric.joints.forEach((joint, i) => {
      const other = field.joints[i]!;
      for (const key of ['top', 'bottom', 'required', 'expanded', 'unproven', 'longestGap', 'uncertainty'] as const) {
        expect(Math.abs(other[key] - toFeet(joint[key])), `${joint.name} ${key}`).toBeLessThan(0.003);
      }
      expect(other.verdict).toBe(joint.verdict);
      expect(other.gaps.map((gap) => gap.cause)).toEqual(joint.gaps.map((gap) => gap.cause));
      if (joint.pressure) expect(other.pressure!.mean).toBeCloseTo(toPsi(joint.pressure.mean), 0);
      if (joint.feed) expect(other.feed!.mean).toBeCloseTo(toFeet(joint.feed.mean), 1);
    });
    expect(field.phases).toEqual(metric.phases);
    expect(field.events.map(({ kind, from, to }) => [kind, from, to])).toEqual(
      metric.events.map(({ kind, from, to }) => [kind, from, to]),
    );
    expect(field.events[0]!.detail).toContain('psi');
    expect(metric.events[0]!.detail).toContain('kPa');
  });
});

it('starts when the trip starts', () => {
  expect(Date.parse(RECORD.source.from)).toBe(START_MS);
});
