/** A scenario that is kept for everyone who looks at the run, as the service and the page tell each other of it. */
import { z } from 'zod/mini';
import { SCENARIO_LIMITS } from './scenario.ts';

export const KEPT_LIMITS = {
  /** Of one run. */
  scenarios: 100,
  byChars: 100,
} as const;

export const keptScenarioSchema = z.object({
  /** Never given twice in a run. */
  id: z.int().check(z.positive()),
  /** Who kept it, or changed it last. */
  by: z.string().check(z.maxLength(KEPT_LIMITS.byChars)),
  /** As in a link: `name=…&shift=0.5`. */
  text: z.string().check(z.maxLength(SCENARIO_LIMITS.linkChars)),
});
export type KeptScenario = z.infer<typeof keptScenarioSchema>;

export const keptScenariosSchema = z.object({
  scenarios: z.array(keptScenarioSchema).check(z.maxLength(KEPT_LIMITS.scenarios)),
  /** Where they are kept: beside the run, or in memory until the service ends. */
  kept: z.enum(['run', 'memory']),
});
export type KeptScenarios = z.infer<typeof keptScenariosSchema>;
