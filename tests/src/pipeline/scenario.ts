/** Short trips written as tables: one row for every turn, straight lines between, a sample a second. */
import { emptySample, type Sample } from '../../../src/channels.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun, type Run } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { readTable, type TableRow } from '../table.ts';

export const START_MS = Date.parse('2031-03-04T00:00:00Z');
export const instantOf = (seconds: number): string => new Date(START_MS + seconds * 1000).toISOString();

/** An isolation joint, a blank and two screens; the lower tool 1 m above the end, the upper one 5 m. */
export function scenarioPlan(): Plan {
  return planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    stream: { gapAfter: 5 },
    liner: {
      top: 1000,
      joints: [
        { name: 'Z1', kind: 'isolation', length: 6, expandFrom: 0.5, expandTo: 5.5, zone: 'A' },
        { name: 'B1', kind: 'blank', length: 8 },
        { name: 'S1', kind: 'screen', length: 5, expandFrom: 0.5, expandTo: 4.5, zone: 'A' },
        { name: 'S2', kind: 'screen', length: 5, expandFrom: 0.5, expandTo: 4.5, zone: 'B' },
      ],
    },
    tools: [
      { name: 'upper', offset: 5 },
      { name: 'lower', offset: 1 },
    ],
    recipes: {
      isolation: {
        tools: ['upper'],
        pressure: { min: 16000, max: 22000 },
        rpm: { min: 15 },
        feed: { max: 1.5 },
        torque: { max: 16 },
      },
      screen: {
        tools: ['lower'],
        pressure: { min: 7500, max: 11000 },
        rpm: { min: 15 },
        feed: { max: 2 },
        torque: { max: 12 },
      },
    },
    acceptance: { coverage: 0.97, longestGap: 0.3 },
    limits: { stall: { feed: 0.05, seconds: 30 } },
    surface: { blockWeight: 180 },
  });
}

const COLUMNS = {
  flow: 'flowIn',
  spp_kPa: 'standpipePressure',
  rpm: 'rotation',
  block_m: 'blockPosition',
  depth_m: 'bitDepth',
  hookload_kN: 'hookload',
} as const;
type ColumnName = keyof typeof COLUMNS;
const COLUMN_NAMES = Object.keys(COLUMNS) as ColumnName[];

/** Depth and block are printed to a hundredth of a metre, as most rigs do. */
const printed = (name: ColumnName, value: number): number =>
  name === 'depth_m' || name === 'block_m' ? Math.round(value * 100) / 100 : value;

/** The samples between the rows; none where a row says `-` for the depth: then the link is down until the next row. */
export function samplesOf(rows: readonly TableRow[]): Sample[] {
  const samples: Sample[] = [];
  rows.forEach((row, i) => {
    const before = rows[i - 1];
    const to = row.given.t_s!;
    const from = before ? before.given.t_s! : to - 1;
    for (let s = from + 1; s <= to; s += 1) {
      const share = (s - from) / (to - from);
      const sample = emptySample(START_MS + s * 1000, START_MS + s * 1000);
      for (const name of COLUMN_NAMES) {
        const target = row.given[name]!;
        const start = before ? before.given[name]! : target;
        sample[COLUMNS[name]] = printed(
          name,
          Number.isNaN(start) && s === to ? target : start + (target - start) * share,
        );
      }
      if (!Number.isNaN(sample.bitDepth)) samples.push(sample);
    }
  });
  return samples;
}

export interface Played {
  run: Run;
  record: RunRecord;
  rows: TableRow[];
}

/** Plays a table, and the journal entries between its samples at their own time. */
export function playTable(table: string, journal: readonly JournalEntry[] = [], plan: Plan = scenarioPlan()): Played {
  const rows = readTable(table);
  const run = createRun(compileJob(plan));
  const waiting = [...journal];
  const samples = samplesOf(rows);
  for (const sample of samples) {
    while (waiting[0] && Date.parse(waiting[0].at) <= sample.sourceMs)
      advance(run, { kind: 'journal', entry: waiting.shift()! });
    advance(run, { kind: 'sample', sample });
  }
  for (const entry of waiting) advance(run, { kind: 'journal', entry });
  return { run, record: recordOf(run, { frames: samples.length, rejected: 0, reasons: {} }), rows };
}

/** What the record says of one instant: the phase, and the events that stand. */
export function saidAt(record: RunRecord, seconds: number): { phase: string; event: string } {
  const at = instantOf(seconds);
  const phase = record.phases.filter((one) => one.from <= at).at(-1);
  const events = record.events.filter((one) => one.from <= at && (one.to === null || one.to > at));
  return { phase: phase?.phase ?? '-', event: events.map((one) => one.kind).join(', ') || '-' };
}
