/** A run counted anew for its report: from a stream that was read, or from the library. */

import { recordOf, type SourceCounts } from '../../src/record/record.ts';
import type { ReportExtras } from '../../src/report/reportInput.ts';
import type { WorkedRun } from '../../src/report/workedRun.ts';
import type { UnitSystem } from '../../src/units.ts';
import { keptStream } from '../cli/keptStream.ts';
import type { RunReader } from '../keep/runReader.ts';
import type { RunCheck } from '../keep/verifyRun.ts';
import { keptJournal, keptPlan } from '../recording/keptRun.ts';
import { makeReport, reportInput, workedCourse } from './makeReport.ts';
import { type ReadCourse, readCourse } from './readCourse.ts';
import { reportExtras } from './reportExtras.ts';
import { UnderFirstPlan } from './underFirstPlan.ts';

export interface CountedRun {
  /** Of a run of the library. */
  readonly id?: string;
  readonly name: string;
  readonly worked: WorkedRun;
  readonly source: SourceCounts;
  readonly extras: ReportExtras;
}

export async function countedRun(
  name: string,
  { course, source }: ReadCourse,
  extras: ReportExtras,
): Promise<CountedRun> {
  const worked = await workedCourse(course);
  const { run, plan } = worked.position;
  const said = { firstPlan: course.plan, plan, record: recordOf(run, source), entries: course.entries };
  return { name, worked, source, extras: { ...reportExtras(said), ...extras } };
}

export interface KeptRunOptions {
  /** Of the run, as it is kept. */
  readonly verification: RunCheck;
  /** Told how many bytes have been worked through. */
  readonly read: (bytes: number) => void;
  /** Waited for now and then, where others have work too. */
  readonly pause?: (() => Promise<void>) | undefined;
  /** Left out: the run's own plan. */
  readonly plan?: Parameters<typeof readCourse>[0] | undefined;
}

/** @throws Fault where it has no plan, no source or nothing usable */
export async function countedKeptRun(
  run: RunReader,
  { verification, read, pause, plan }: KeptRunOptions,
): Promise<CountedRun> {
  const { stream, makeReader, tag } = keptStream(run, read, pause);
  const course = await readCourse(plan ?? keptPlan(run), keptJournal(run), tag, stream, makeReader);
  const { id, name } = run.info();
  return { ...(await countedRun(name || id, course, { verification })), id };
}

/** The whole report of a kept run. @param units left out: those of its plan @throws Fault as above */
export async function keptReport(run: RunReader, options: KeptRunOptions, units?: UnitSystem): Promise<Uint8Array> {
  const { name, worked, source, extras } = await countedKeptRun(run, options);
  const input = reportInput({ worked, source, runName: name, units });
  const underFirstPlan = await new UnderFirstPlan().beside(worked, source, input.units);
  return makeReport({ ...input, ...extras, underFirstPlan });
}
