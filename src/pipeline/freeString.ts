/** Whether the string is free of the liner: no tool in or near a joint that it could be expanding at this pressure. */
import { judgedKpa } from './judgedPressure.ts';
import type { Run } from './runState.ts';
import { jointAt } from './work.ts';

/** A depth may be off by this much, m. */
const NEAR_M = 0.5;
/** Below this share of the recipe's minimum rollers do not push. */
const ROLLS_ABOVE_SHARE = 0.5;

/** By the depths of the last sample. Nothing is free while these are not known. */
export function isFreeOfJoints(run: Run, standpipeKpa: number, toolKpa: number): boolean {
  const { job, toolDepths } = run;
  const pressures = { standpipe: standpipeKpa, tool: toolKpa };
  for (let tool = 0; tool < toolDepths.length; tool += 1) {
    const depth = toolDepths[tool]!;
    if (Number.isNaN(depth)) return false;
    for (const at of [jointAt(job, depth - NEAR_M), jointAt(job, depth + NEAR_M)]) {
      const joint = at < 0 ? undefined : job.joints[at]!;
      if (!joint?.recipe?.tools.includes(tool) || depth < joint.from - NEAR_M || depth >= joint.to + NEAR_M) continue;
      const least = joint.recipe.pressureMinKpa;
      if (least === -Infinity || !(judgedKpa(joint.recipe, pressures) < ROLLS_ABOVE_SHARE * least)) return false;
    }
  }
  return true;
}
