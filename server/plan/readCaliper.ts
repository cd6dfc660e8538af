/** A caliper log file, LAS 2.0 or CSV. */
import { CALIPER_LIMITS, type CaliperReading, readCaliperLog } from '../../src/engineering/caliperLog.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import { readBounded } from './readBounded.ts';

/**
 * Rows that were refused go to standard error, one line each; the null values of a CSV are those of the plan's stream.
 * @throws Fault `file unreadable`, `file too large`, `not json` (not UTF-8), `bad caliper`.
 */
export async function readCaliper(file: string, job: Job): Promise<CaliperReading> {
  const text = await readBounded(file, CALIPER_LIMITS.characters, 'a caliper log');
  const reading = readCaliperLog(text, { file, nulls: job.stream.nulls });
  if (!reading.log) throw new Fault('bad caliper', reading.problems[0]!);
  for (const problem of reading.problems) process.stderr.write(`${problem}\n`);
  return reading;
}
