/** The plan's string as it hangs with its end at a depth, and what it gives to a pull. */
import { elasticMovementM } from '../engineering/stretch.ts';
import { type HungSection, hangString, type StringSection } from '../engineering/volumes.ts';
import type { Job } from '../plan/job.ts';

/** Empty where the plan has no string, or the depth of its end is not known. */
export function hungString(job: Job, endDepthM: number): HungSection[] {
  const { string } = job.engineering;
  if (string.length === 0 || !(endDepthM > 0)) return [];
  const sections = string.map(
    ({ name, lengthM, odMm, idMm, massKgPerM, contactMm }): StringSection => ({
      name,
      lengthM,
      odMm,
      idMm,
      massKgM: massKgPerM,
      contactOdMm: contactMm,
    }),
  );
  return hangString(sections, endDepthM);
}

/** Top of the hanger, m; of the liner where no joint is called one. */
export function hangerDepthM(job: Job): number {
  const hanger = job.joints.find((joint) => joint.kind === 'hanger') ?? job.joints[0];
  return hanger?.top ?? Number.NaN;
}

/** Movement at surface for each kN of pull with the string held at the hanger, m/kN; NaN where the plan has no string. */
export function complianceAtHanger(job: Job, endDepthM: number): number {
  const hung = hungString(job, endDepthM);
  return hung.length === 0 ? Number.NaN : elasticMovementM(hung, Math.min(hangerDepthM(job), endDepthM), 1);
}
