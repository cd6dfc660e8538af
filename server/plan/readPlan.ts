/** A plan file, made ready to work with. */
import { Fault } from '../../src/fault.ts';
import { compileJob, type Job, planProblems } from '../../src/plan/job.ts';
import { type ChannelMapping, PLAN_LIMITS, type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { parseJson } from './parseJson.ts';
import { readBounded } from './readBounded.ts';
import { schemaFaults } from './schemaFaults.ts';
import { unknownKeys } from './unknownKeys.ts';

export interface ReadPlan {
  readonly plan: Plan;
  readonly job: Job;
  /** One line for each thing that is odd and not refused. */
  readonly warnings: readonly string[];
}

/**
 * @param channels a channel map from a file of its own; wins over the plan's, item by item.
 * @throws Fault `file unreadable`, `file too large`, `not json`, `bad plan`; its message holds one line a fault.
 */
export async function readPlan(
  file: string,
  channels: Record<string, ChannelMapping> = {},
): Promise<ReadPlan & { readonly text: string }> {
  const text = await readBounded(file, PLAN_LIMITS.bytes, 'a plan');
  return { ...planFrom(file, parseJson(file, text), channels), text };
}

/** The same from a value that has been read. */
export function planFrom(file: string, value: unknown, channels: Record<string, ChannelMapping> = {}): ReadPlan {
  const parsed = planSchema.safeParse(value);
  const lines = parsed.success
    ? planProblems(parsed.data).map((problem) => `${problem.path}: ${problem.text}`)
    : schemaFaults(parsed.error.issues, value);
  if (!parsed.success || lines.length > 0) {
    throw new Fault('bad plan', lines.map((line) => `${file}: ${line}`).join('\n'));
  }
  const warnings = unknownKeys(planSchema, value).map((line) => `${file}: ${line}`);
  return { plan: parsed.data, job: compileJob(parsed.data, channels), warnings };
}
