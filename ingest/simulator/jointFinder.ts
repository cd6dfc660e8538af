/** Which joints to be expanded lie near a depth, without looking through a long liner at every time step. */
import type { Job, Joint } from '../../src/plan/job.ts';

const NONE: readonly Joint[] = [];
/** A tool moves less than this in one time step, m. */
const MARGIN_M = 1;

/** @returns the joints whose part to be expanded is within a metre or two of a measured depth, m; maybe more, never fewer. */
export function jointFinder(job: Job): (depth: number) => readonly Joint[] {
  const byMetre = new Map<number, Joint[]>();
  for (const joint of job.joints) {
    if (!joint.recipe) continue;
    for (let metre = Math.floor(joint.from - MARGIN_M); metre <= Math.floor(joint.to + MARGIN_M); metre++) {
      const here = byMetre.get(metre);
      if (here) here.push(joint);
      else byMetre.set(metre, [joint]);
    }
  }
  return (depth) => byMetre.get(Math.floor(depth)) ?? NONE;
}
