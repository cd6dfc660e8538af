/** A scenario file of the simulated rig and the plan that it works. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Scenario, scenarioSchema } from '../../ingest/simulator/scenario.ts';
import { scenarioProblems } from '../../ingest/simulator/scenarioProblems.ts';
import { Fault } from '../../src/fault.ts';
import { PLAN_LIMITS, type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { parseJson } from '../plan/parseJson.ts';
import { readBounded } from '../plan/readBounded.ts';
import { planFrom, type ReadPlan } from '../plan/readPlan.ts';
import { schemaFaults } from '../plan/schemaFaults.ts';

export interface ReadScenario {
  readonly scenario: Scenario;
  /** With the engineering part, which the rig needs. */
  readonly plan: Plan;
  /** The same as the service reads it. */
  readonly read: ReadPlan;
}

/** A file of the demo, beside the built program or the sources. */
export function demoFile(name: string): string {
  const places = [`../replay-data/${name}`, `../../replay-data/${name}`];
  const files = places.map((place) => fileURLToPath(new URL(place, import.meta.url)));
  return files.find((file) => existsSync(file)) ?? files[0]!;
}

/**
 * @param file left out: the demo's.
 * @param planFile left out: the one that the scenario names, beside it.
 * @throws Fault of the file that cannot be used; a bad scenario counts as `bad plan`.
 */
export async function readScenario(file = demoFile('demo-scenario.json'), planFile?: string): Promise<ReadScenario> {
  const value = parseJson(file, await readBounded(file, PLAN_LIMITS.bytes, 'a scenario'));
  const parsed = scenarioSchema.safeParse(value);
  if (!parsed.success) {
    throw new Fault(
      'bad plan',
      schemaFaults(parsed.error.issues, value)
        .map((line) => `${file}: ${line}`)
        .join('\n'),
    );
  }
  const scenario = parsed.data;
  const of = planFile ?? join(dirname(file), scenario.plan);
  const raw = parseJson(of, await readBounded(of, PLAN_LIMITS.bytes, 'a plan'));
  const read = planFrom(of, raw);
  const problems = scenarioProblems(scenario, read.job);
  if (problems.length > 0) {
    throw new Fault('bad plan', problems.map(({ path, text }) => `${file}: ${path}: ${text}`).join('\n'));
  }
  return { scenario, plan: planSchema.parse(raw), read };
}
