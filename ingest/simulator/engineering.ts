/** What the simulated rig takes from a plan's engineering part, with its own stand-ins for what a plan leaves out. */
import type { FlowPath, Station } from '../../src/plan/engineering.ts';
import type { Job } from '../../src/plan/job.ts';

export interface Engineering {
  readonly densityKgPerM3: number;
  /** From the surface down; mass in air. */
  readonly string: readonly { readonly lengthM: number; readonly massKgPerM: number }[];
  readonly survey: readonly Station[];
  readonly flowPath: FlowPath | undefined;
}

const DEFAULT_DENSITY = 1180;
const DEFAULT_STRING = [{ lengthM: 1, massKgPerM: 31 }] as const;

export function engineeringOf(job: Job): Engineering {
  const { fluid, string, survey, flowPath } = job.engineering;
  return {
    densityKgPerM3: fluid?.densityKgPerM3 ?? DEFAULT_DENSITY,
    string: string.length > 0 ? string : DEFAULT_STRING,
    survey,
    flowPath,
  };
}
