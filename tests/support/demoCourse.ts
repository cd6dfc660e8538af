/** The demo trip as a course: its samples as columns, with a journal in which people did something of every kind. */
import { readFileSync } from 'node:fs';
import type { StreamReader } from '../../ingest/streamReader.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { sourceCounts } from '../../server/sourceCounts.ts';
import type { Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { Course } from '../../src/replay/course.ts';
import { addSample, createSampleColumns } from '../../src/replay/sampleColumns.ts';

export interface ReadCourse {
  readonly course: Course;
  readonly samples: readonly Sample[];
  readonly source: SourceCounts;
}

/** @param bytes a stream as WITS level 0 text */
export function courseOf(plan: Plan, bytes: Uint8Array, entries: readonly JournalEntry[] = []): ReadCourse {
  const samples: Sample[] = [];
  const reader: StreamReader = READERS.wits0(compileJob(plan).stream, (sample) => samples.push({ ...sample }));
  reader.push(bytes, Number.NaN);
  reader.end();
  const columns = createSampleColumns(samples.length);
  for (const sample of samples) addSample(columns, sample);
  return {
    course: { plan, tag: 'offer', depthOffsetM: 0, samples: columns, entries },
    samples,
    source: sourceCounts(reader.counts),
  };
}

export async function demoCourse(): Promise<ReadCourse> {
  const { plan } = await readPlan('replay-data/demo-plan.json');
  return courseOf(plan, readFileSync('replay-data/demo.wits'));
}

/** Something of every kind, spread over the stream that begins at `fromMs` and lasts `lastsMs`. */
export function busyJournal(plan: Plan, fromMs: number, lastsMs: number, depth: number): JournalEntry[] {
  const at = (share: number): string =>
    new Date(Math.round((fromMs + share * lastsMs) / 1000) * 1000 + 1).toISOString();
  const by = 'night shift';
  const joint = plan.liner.joints.find(({ kind }) => kind === 'screen')!.name;
  const screen = plan.recipes.screen!;
  const stricter: Plan = { ...plan, recipes: { ...plan.recipes, screen: { ...screen, rpm: { min: 20 } } } };
  return [
    { at: at(0.1), by, action: 'note', text: 'string weight taken' },
    { at: at(0.25), by, action: 'set depth', tool: plan.tools[0]!.name, depth },
    { at: at(0.4), by, action: 'acknowledge', event: 'stall' },
    { at: at(0.55), by, action: 'change plan', plan: stricter },
    { at: at(0.7), by, action: 'accept', joint, reason: 'seen on the gauges' },
    { at: at(1.5), by, action: 'note', text: 'after the last sample' },
  ];
}
