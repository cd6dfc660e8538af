/** The joints that are to be expanded, each with the tool that rolls it, from the top down. */

import { DEEPEST_M } from '../engineering/caliperLog.ts';
import type { Job, Joint, Recipe, Tool } from '../plan/job.ts';
import type { ExpandedKind } from '../plan/planSchema.ts';
import type { FLOW_PATHS } from './checkSchema.ts';

/** Deeper than any well, more than any pump: what lies beyond is a slip of the pen, and is not worked out. */
export const WORKABLE = { endDepthM: DEEPEST_M, pressureKpa: 500_000 } as const;

export interface Target {
  readonly joint: Joint;
  readonly kind: ExpandedKind;
  readonly recipe: Recipe;
  /** The first of the recipe's tools. */
  readonly tool: Tool;
  /** Of the tool's contact in the middle of the part to be expanded, and of the end of the string then, m. */
  readonly depthM: number;
  readonly endDepthM: number;
  /** What the recipe's pressure window is aimed at, kPa: its middle, or its one bound; NaN without a bound. */
  readonly aimKpa: number;
}

export function targetsOf(job: Job): Target[] {
  return job.joints.flatMap((joint): Target[] => {
    const { recipe } = joint;
    const tool = recipe && job.tools[recipe.tools[0]!];
    if (!recipe || !tool) return [];
    const depthM = (joint.from + joint.to) / 2;
    return [
      { joint, kind: recipe.kind, recipe, tool, depthM, endDepthM: depthM + tool.offsetM, aimKpa: aimKpa(recipe) },
    ];
  });
}

export const isWorkable = ({ endDepthM, aimKpa: kpa }: Target): boolean =>
  endDepthM <= WORKABLE.endDepthM && !(kpa > WORKABLE.pressureKpa);

export function aimKpa({ pressureMinKpa: min, pressureMaxKpa: max }: Recipe): number {
  if (Number.isFinite(min) && Number.isFinite(max)) return (min + max) / 2;
  if (Number.isFinite(min)) return min;
  return Number.isFinite(max) ? max : Number.NaN;
}

/** Isolation joints are rolled with the valve shifted, on the high path's smaller nozzles; screens with it not shifted. */
export const PATH_OF = { isolation: 'high', screen: 'low' } as const satisfies Record<
  ExpandedKind,
  (typeof FLOW_PATHS)[number]
>;
