/** A run of many joints, simulated: its course and its bytes. */
import type { Plan } from '../../src/plan/planSchema.ts';
import { courseOf, type ReadCourse } from './demoCourse.ts';
import { longPlan, trip } from './trips.ts';

/** Screens one below the other, with something that goes wrong on three of them. @param framePeriod s */
export function longRun(joints: number, framePeriod: number): ReadCourse & { readonly bytes: Uint8Array } {
  const plan: Plan = {
    ...longPlan(joints),
    stream: { ...longPlan(1).stream!, gapAfter: Math.max(5, 3 * framePeriod) },
  };
  const made = trip(11, plan, {
    stream: { framePeriod },
    incidents: [
      { kind: 'low pressure', joint: 'S3', into: 4, metres: 2 },
      { kind: 'data gap', joint: 'S7', into: 3, seconds: 60 },
      { kind: 'stall', joint: 'S12', into: 5, seconds: 90 },
    ],
  });
  return { ...courseOf(plan, made.bytes), bytes: made.bytes };
}
