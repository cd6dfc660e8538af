/** Which stretch of a liner is looked at: all of it, or from one joint to another. */
import type { Job } from '../../src/plan/job.ts';
import type { DepthWindow } from '../liner/linerScale.ts';

/** Names of joints; null: the whole liner. */
export type JointRange = readonly [from: string, to: string] | null;

/** A joint that is not there, in a plan that has changed, is left out. */
export function windowOf({ joints }: Pick<Job, 'joints'>, range: JointRange): DepthWindow {
  const at = (name: string | undefined) => joints.find((joint) => joint.name === name);
  const from = at(range?.[0]);
  const to = at(range?.[1]) ?? from;
  if (!from || !to) return { from: joints[0]!.top, to: joints[joints.length - 1]!.bottom };
  return { from: Math.min(from.top, to.top), to: Math.max(from.bottom, to.bottom) };
}
