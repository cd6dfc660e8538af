/** A report's input with something in every part, and with hostile names wherever somebody may write. */

import { simulateTrip } from '../../ingest/simulator/simulateTrip.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { addSample, createSampleColumns } from '../../src/replay/sampleColumns.ts';
import { recordInUnits } from '../../src/report/facts.ts';
import type { ReportInput } from '../../src/report/reportInput.ts';
import { workedRun } from '../../src/report/workedRun.ts';
import type { UnitSystem } from '../../src/units.ts';
import { ballJournal, hangerPlan, sampleOf } from './hangerTrips.ts';
import { testScenario } from './trips.ts';

export const HOSTILE_NAME = '<script>alert("x")</script>&\'';
const LONG = 'w'.repeat(64);
const HASH = '0123456789abcdef'.repeat(4);

/** @param rename joints of the plan by new names */
function planWith(rename: Readonly<Record<string, string>>): Plan {
  const plan = hangerPlan();
  const joints = plan.liner.joints.map((joint) => ({ ...joint, name: rename[joint.name] ?? joint.name }));
  return planSchema.parse({ ...JSON.parse(JSON.stringify(plan)), liner: { ...plan.liner, joints } });
}

export interface PartsOptions {
  readonly units: UnitSystem;
  /** Joint S1 is called so. */
  readonly name?: string;
}

/** A trip that sets its hanger, loses pressure on S1, has a hole in its data on S2, and is signed. */
export function inputWithAllParts({ units, name = 'S1' }: PartsOptions): ReportInput {
  const hanger = testScenario(4, {
    hanger: {},
    incidents: [
      { kind: 'low pressure', joint: 'S1', into: 6, metres: 2 },
      { kind: 'data gap', joint: 'S2', into: 3, seconds: 40 },
    ],
  });
  const { readings, truth } = simulateTrip(hanger, hangerPlan());
  const plan = planWith({ S1: name });
  const samples = createSampleColumns();
  // A reading is there for every second; the stream would have left these out.
  const hole = truth.incidents.find(({ kind }) => kind === 'data gap')!;
  for (const one of readings) {
    if (one.sourceMs <= hole.fromMs || one.sourceMs >= hole.toMs) addSample(samples, sampleOf(one));
  }
  const last = samples.sourceMs[samples.rows - 1]!;
  const entries = [...ballJournal(truth), ...decisions(plan, name, last)];
  const worked = workedRun({ plan, tag: 'apply', depthOffsetM: 0, samples, entries });
  const source = { frames: samples.rows, rejected: 3, reasons: { 'bad line': 3 } };
  const stricter = { ...plan, recipes: { ...plan.recipes, screen: { ...plan.recipes.screen!, rpm: { min: 60 } } } };
  const other = workedRun({ ...worked.course, plan: stricter });
  const first = workedRun({ ...worked.course, entries: entries.filter(({ action }) => action !== 'change plan') });
  return {
    worked,
    source,
    runName: `run ${name}`,
    program: 'jointwise test',
    units,
    recordHash: HASH,
    against: { name: 'the run under another plan', record: recordInUnits(other.position.run, source, units) },
    underFirstPlan: {
      name: 'the run under version 1 of its plan',
      record: recordInUnits(first.position.run, source, units),
    },
    ...signed(last),
  };
}

function decisions(plan: Plan, name: string, last: number): JournalEntry[] {
  const at = (ms: number): string => new Date(last + ms).toISOString();
  const stricter: Plan = { ...plan, acceptance: { coverage: 0.98, longestGap: 0.2 } };
  return [
    { at: at(1), by: HOSTILE_NAME, action: 'note', text: `=cmd|' /C calc'!A0 ${HOSTILE_NAME} `.repeat(20) },
    { at: at(2), by: LONG, action: 'set depth', tool: 'upper', depth: 2470 },
    { at: at(3), by: 'A. Person', action: 'change plan', plan: stricter, reason: 'a longer gap was not agreed' },
    {
      at: at(4),
      by: 'A. Person',
      action: 'reject',
      joint: name,
      reason: 'seen on the gauges, to be rolled again '.repeat(90),
    },
    { at: at(5), by: 'B. Person', action: 'accept', joint: 'S2', reason: HOSTILE_NAME },
  ];
}

function signed(last: number): Pick<ReportInput, 'signatures' | 'verification' | 'time'> {
  const one = {
    version: 1,
    hash: HASH,
    by: 'A. Person',
    atUtc: '2031-03-04T02:00:00Z',
    rigTime: '2031-03-04 02:00:00',
  };
  return {
    signatures: [
      { ...one, subject: 'limits', role: 'company representative', holds: { kind: 'holds' } },
      {
        ...one,
        subject: 'record',
        role: HOSTILE_NAME,
        holds: {
          kind: 'broken',
          since: '2031-03-04T03:00:00Z',
          cause: { kind: 'entry', action: 'change plan', by: LONG },
          parts: ['acceptance', HOSTILE_NAME],
        },
      },
    ],
    verification: {
      whole: false,
      records: 10,
      lastNumber: 12,
      hash: HASH,
      sealed: false,
      journalRows: 2,
      plans: 1,
      holes: [{ fromMs: last - 5000, toMs: null, why: 'not recorded: full, 3 records' }],
      problems: ['log-000001, record 7: its checksum does not hold'],
    },
    time: timeOf(last),
  };
}

function timeOf(last: number): ReportInput['time'] {
  const at = (ms: number): string => new Date(ms).toISOString();
  const from = { activity: 'wait', joint: null, from: at(last - 600_000), to: at(last), ms: 600_000 };
  const lost = { ...from, lost: { code: 'weather', reason: HOSTILE_NAME, by: LONG } };
  const sum = { activity: 'wait', ms: 600_000, lostMs: 600_000 };
  return {
    dayCut: '06:00',
    days: [{ date: '2031-03-03', lengthMs: 86_400_000, outsideMs: 85_800_000, sums: [sum], stretches: [lost] }],
    totals: [{ ...sum, plannedMs: 300_000 }],
    lostMs: 600_000,
    uncoded: [{ ...from, lost: null }],
    defaults: [{ place: 'time.dayCut', value: '06:00' }],
  };
}
