/**
 * A run as it would have been shown, had everything been known from its beginning that is known at its end: the plan in
 * force at the end, and the depth as it was put right last. Corrections and plans of the journal are left out, since they
 * hold from the first sample on; everything else people did stays at its instant.
 */
import { type Course, workWhole } from './course.ts';

export function knownNow(course: Course): Course {
  const { run, plan } = workWhole(course);
  return {
    ...course,
    plan,
    // A tag would move the depth again where it already stands right.
    tag: 'offer',
    depthOffsetM: run.correctionM,
    entries: course.entries.filter(({ action }) => action !== 'set depth' && action !== 'change plan'),
  };
}
