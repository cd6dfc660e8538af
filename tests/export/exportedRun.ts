/** Runs to be written out, and read back. */
import type { StreamFormat } from '../../ingest/recognise.ts';
import { READERS } from '../../server/readers.ts';
import { CHANNEL_IDS, type Sample } from '../../src/channels.ts';
import type { ExportInput } from '../../src/export/exportInput.ts';
import { workCourse } from '../../src/export/workedCourse.ts';
import type { Job } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { Course } from '../../src/replay/course.ts';
import { addSample, createSampleColumns } from '../../src/replay/sampleColumns.ts';
import type { UnitSystem } from '../../src/units.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

export const NO_SOURCE: SourceCounts = { frames: 0, rejected: 0, reasons: {} };

export const smallPlan = (): Plan => planSchema.parse(SMALL_PLAN);

/** Works a course to its end at once. */
export function exportInput(course: Course, source: SourceCounts, units: UnitSystem, name = 'trip 4'): ExportInput {
  const work = workCourse(course, source);
  for (let turn = work.next(); ; turn = work.next()) if (turn.done) return { ...turn.value, name, units };
}

export function courseOfSamples(samples: readonly Sample[], plan = smallPlan()): Course {
  const columns = createSampleColumns(samples.length);
  for (const sample of samples) addSample(columns, sample);
  return { plan, tag: 'apply', depthOffsetM: 0, samples: columns, entries: [] };
}

export const textOf = (chunks: Iterable<string>): string => [...chunks].join('');

export function readBack(format: StreamFormat, text: string, stream: Job['stream']): Sample[] {
  const samples: Sample[] = [];
  const reader = READERS[format](stream, (sample) => samples.push(sample));
  reader.push(Buffer.from(text, 'utf8'), Number.NaN);
  reader.end();
  return samples;
}

/** All numbers of all samples, as bytes: equal when each is, NaN with NaN. */
export const packed = (samples: readonly Sample[]): Buffer =>
  Buffer.from(
    Float64Array.from(samples.flatMap((sample) => [sample.sourceMs, ...CHANNEL_IDS.map((id) => sample[id] + 0)]))
      .buffer,
  );

/**
 * Whether the numbers are the same but for the last bits: not every double of one unit is reached by a double of another,
 * times a factor.
 */
export function isWithinRounding(found: readonly Sample[], wanted: readonly Sample[]): boolean {
  return wanted.every((sample, i) =>
    CHANNEL_IDS.every((id) => {
      const [a, b] = [sample[id], found[i]![id]];
      if (Number.isNaN(a) || Number.isNaN(b)) return Number.isNaN(a) && Number.isNaN(b);
      return Math.abs(a - b) <= 4 * Number.EPSILON * Math.max(Math.abs(a), 32);
    }),
  );
}
