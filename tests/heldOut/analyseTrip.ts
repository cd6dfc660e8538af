/** A trip's bytes through the steps of the command line. */

import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { compileJob, planProblems } from '../../src/plan/job.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { Trip } from './rigTrip.ts';

const CHUNK = 60_000;

export const analyseTrip = (trip: Trip): Promise<RunRecord> => analyseBytes(trip.layout.plan, trip.bytes);

export async function analyseBytes(planFile: object, bytes: Uint8Array): Promise<RunRecord> {
  const plan = planSchema.parse(JSON.parse(JSON.stringify(planFile)));
  const problems = planProblems(plan);
  if (problems.length > 0) throw new Error(JSON.stringify(problems));
  async function* chunks() {
    for (let i = 0; i < bytes.length; i += CHUNK) yield bytes.subarray(i, i + CHUNK);
  }
  return recordOfStream(compileJob(plan), [], { name: 'trip', chunks }, (_head, stream, sink) =>
    createWitsReader(stream, sink),
  );
}
