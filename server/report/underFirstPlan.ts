/** A run whose plan was changed, counted once more under the plan that it began with: what the changes made of it. */
import type { SourceCounts } from '../../src/record/record.ts';
import type { Course } from '../../src/replay/course.ts';
import type { ReportAgainst } from '../../src/report/reportInput.ts';
import { startWorking, type WorkedRun, workOn } from '../../src/report/workedRun.ts';
import type { UnitSystem } from '../../src/units.ts';
import { inTurns } from '../keep/inTurns.ts';
import { recordShown } from './makeReport.ts';

export class UnderFirstPlan {
  #worked: WorkedRun | null = null;

  /**
   * What has been counted is not counted again: a run only grows.
   * @param units of the report @returns undefined where the plan that it began with is the one in force
   */
  async beside(run: WorkedRun, source: SourceCounts, units: UnitSystem): Promise<ReportAgainst | undefined> {
    if (run.versions.length < 2) return undefined;
    const entries = run.course.entries.filter(({ action }) => action !== 'change plan');
    const course: Course = { ...run.course, entries };
    this.#worked ??= startWorking(course);
    await inTurns(workOn(this.#worked, course));
    return { name: 'the run under version 1 of its plan', record: recordShown(this.#worked, source, units) };
  }
}
