/** Which ways down over a joint were rolling, so that they stand out among those on which a tool only went by. */
import { CHANNEL_INDEX } from '../channels.ts';
import type { Joint } from '../plan/job.ts';
import type { Pass } from '../replay/passes.ts';
import type { Facts } from './facts.ts';
import { recipeAt } from './recipeAt.ts';

/** A way down was rolling when the pressure and the rotation of the recipe stood on so much of its depth. */
const ROLLING_SHARE = 0.5;

/** Within the recipe's least pressure and rotation; bounds that do not apply hold always, readings that are missing do not. */
export function isRolling(facts: Facts, joint: Joint, pass: Pass): boolean {
  const { recipe } = recipeAt(facts, joint, pass.fromMs);
  if (!recipe?.tools.includes(pass.tool)) return false;
  const { columns, course } = facts.input.worked;
  const { channels } = course.samples;
  const pressure = recipe.pressureAt === 'tool' ? columns.toolPressure : channels[CHANNEL_INDEX.standpipePressure]!;
  const rotation = channels[CHANNEL_INDEX.rotation]!;
  const met = (value: number, least: number): boolean => least === Number.NEGATIVE_INFINITY || value >= least;
  let rolled = 0;
  let all = 0;
  for (let row = pass.fromRow + 1; row < pass.toRow; row += 1) {
    const down = columns.depth[row]! - columns.depth[row - 1]!;
    if (!(down > 0)) continue;
    all += down;
    if (met(pressure[row]!, recipe.pressureMinKpa) && met(rotation[row]!, recipe.rpmMin)) rolled += down;
  }
  return rolled > ROLLING_SHARE * all;
}
