/** The bounds that a joint was rolled by are those of the plan in force then, not those of today. */
import { compileJob, type Joint, type Recipe } from '../plan/job.ts';
import type { Facts } from './facts.ts';

export interface RecipeAt {
  readonly recipe: Recipe | undefined;
  /** Of the plan, from 1. */
  readonly version: number;
}

/** @param joint of the plan in force at the end @param ms an instant of the run */
export function recipeAt({ input, job }: Facts, joint: Joint, ms: number): RecipeAt {
  const { versions } = input.worked;
  let version = versions.length;
  while (version > 1 && versions[version - 1]!.fromMs > ms) version -= 1;
  if (version === versions.length || (joint.kind !== 'isolation' && joint.kind !== 'screen')) {
    return { recipe: joint.recipe, version };
  }
  const then = compileJob(versions[version - 1]!.plan, job.stream.channels).recipes[joint.kind];
  // Tools are told by their place in the plan of the end, as the passes are.
  return { recipe: then && { ...then, tools: joint.recipe?.tools ?? [] }, version };
}
