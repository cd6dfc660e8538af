/** What speaks against starting, or is to be known before: most severe first, each with its joint, number and limit. */

import { CAUTION } from '../caution.ts';
import { inUnits, type MeasuredText } from '../measuredText.ts';
import type { Joint } from '../plan/job.ts';
import { defaultAt } from './checkDefaults.ts';
import { type Finding, SEVERITIES, type Severity } from './checkSchema.ts';
import type { CheckWork } from './checkWork.ts';
import { coverFindings } from './coverFindings.ts';
import { holeFindings } from './holeFindings.ts';
import { missingFindings } from './missingFindings.ts';
import { pressureFindings } from './pressureFindings.ts';
import { stepFindings } from './stepFindings.ts';
import { weightFindings } from './weightFindings.ts';

export interface Found {
  readonly severity: Severity;
  readonly joint: Joint | null;
  readonly text: MeasuredText;
}

/** Within one severity in this order, and there from the top down. */
const KINDS: readonly ((work: CheckWork) => Found[])[] = [
  pressureFindings,
  weightFindings,
  stepFindings,
  holeFindings,
  coverFindings,
  missingFindings,
  defaultFindings,
  () => [{ severity: 'note', joint: null, text: CAUTION }],
];

export function findingsOf(work: CheckWork): Finding[] {
  const { units } = work.basis.job;
  return KINDS.flatMap((find) => find(work))
    .map(({ severity, joint, text }) => ({ severity, joint: joint?.name ?? null, text: inUnits(text, units) }))
    .sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
}

function defaultFindings({ basis }: CheckWork): Found[] {
  return basis.defaults.map((place) => {
    const { value, quantity, decimals, what } = defaultAt(place);
    const text = [`default to be confirmed: ${place} `, { quantity, value, decimals }, `, ${what}`];
    return { severity: 'note', joint: null, text };
  });
}
