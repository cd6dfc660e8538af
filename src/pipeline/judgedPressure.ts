/** Which pressure a recipe is judged on: the standpipe's as it is read, or the one at the tool as it is worked out. */
import type { Recipe } from '../plan/job.ts';

/** kPa; NaN: not known. */
export interface Pressures {
  standpipe: number;
  tool: number;
}

export function judgedKpa(recipe: Recipe, pressures: Readonly<Pressures>): number {
  return recipe.pressureAt === 'tool' ? pressures.tool : pressures.standpipe;
}
