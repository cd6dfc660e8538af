/** A run of the library counted from its truth, to be laid beside others. */
import type { CaliperReading } from '../../src/engineering/caliperLog.ts';
import { holeClasses, type RunBeside } from '../../src/together/together.ts';
import { recordOfKeptRun } from '../cli/recordOfKeptRun.ts';
import type { RunReader } from '../keep/runReader.ts';
import { keptPlan } from '../recording/keptRun.ts';

/** @throws Fault where it has no plan, no source or nothing usable */
export async function runBeside(
  run: RunReader,
  options: {
    readonly caliper?: (job: ReturnType<typeof keptPlan>['job']) => Promise<CaliperReading>;
    readonly read?: (bytes: number) => void;
    readonly pause?: () => Promise<void>;
  } = {},
): Promise<RunBeside> {
  const { id, name } = run.info();
  const { job } = keptPlan(run);
  const caliper = await options.caliper?.(job);
  const record = await recordOfKeptRun(run, job, options.read ?? (() => {}), options.pause);
  return { id, name: name || id, record, holes: holeClasses(job, caliper) };
}
