/** A run's course made into its report: worked through in turns, drawn, written as one PDF. */

import { recordOf, type SourceCounts } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { Course } from '../../src/replay/course.ts';
import { factsOf, recordInUnits } from '../../src/report/facts.ts';
import { reportSheets, reportTitle } from '../../src/report/report.ts';
import type { ReportInput } from '../../src/report/reportInput.ts';
import { startWorking, type WorkedRun, workOn } from '../../src/report/workedRun.ts';
import type { Sheet } from '../../src/sheet/sheet.ts';
import type { UnitSystem } from '../../src/units.ts';
import { inTurns } from '../keep/inTurns.ts';
import { VERSION } from '../version.ts';
import { pdfSheets } from './pdfSheets.ts';
import { recordHash } from './recordHash.ts';
import { sheetPen } from './sheetFonts.ts';

export async function workedCourse(course: Course): Promise<WorkedRun> {
  const worked = startWorking(course);
  await inTurns(workOn(worked, course));
  return worked;
}

export interface ReportOf {
  readonly worked: WorkedRun;
  readonly source: SourceCounts;
  readonly runName: string;
  /** Left out: those of the plan. */
  readonly units?: UnitSystem | undefined;
}

/** What stands in every report; what others know is added by whoever has it. */
export function reportInput({ worked, source, runName, units }: ReportOf): ReportInput {
  const { run } = worked.position;
  return {
    worked,
    source,
    runName,
    program: `jointwise ${VERSION}`,
    units: units ?? run.job.units,
    recordHash: recordHash(recordOf(run, source)),
  };
}

/** The record in the units of a report, to stand beside another. */
export const recordShown = (worked: WorkedRun, source: SourceCounts, units: UnitSystem): RunRecord =>
  recordInUnits(worked.position.run, source, units);

export async function drawnSheets(input: ReportInput): Promise<Sheet[]> {
  return inTurns(reportSheets(input, await sheetPen()));
}

export interface MakeOptions {
  /** Where the live screen is; left out: instants are no links. */
  readonly linkBase?: string | undefined;
  readonly drawn?: (sheet: number, sheets: number) => void;
}

/** The whole file. Equal inputs make equal bytes. */
export async function makeReport(input: ReportInput, { linkBase, drawn }: MakeOptions = {}): Promise<Uint8Array> {
  const sheets = await drawnSheets(input);
  const facts = factsOf(input);
  return pdfSheets(sheets, {
    title: reportTitle(facts),
    dateMs: Date.parse(facts.record.source.to),
    linkBase,
    ...(drawn ? { drawn: (sheet) => drawn(sheet, sheets.length) } : {}),
  });
}
