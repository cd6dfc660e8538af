/** A proven step, or one underway, as it is told. */
import { inUnits, type MeasuredText } from '../../src/measuredText.ts';
import type { Step, StepNumber, StepOutcome } from '../../src/steps.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figure, rigTime, span, unitLabel } from '../figures.ts';
import type { MarkName } from '../Mark.tsx';

export const OUTCOME_SIGNS: Readonly<Record<StepOutcome, MarkName>> = {
  open: 'now',
  passed: 'done',
  failed: 'short',
  'not proven': 'unproven',
};
export const OUTCOME_SAYINGS: Readonly<Record<StepOutcome, string>> = {
  open: 'underway',
  passed: 'passed',
  failed: 'failed',
  'not proven': 'not proven',
};

/** A step that bears a name of its own says what it is too: `pressure step: slips`. */
export const stepTitle = ({ kind, name }: Step): string => (name === '' || name === kind ? kind : `${kind}: ${name}`);

export const stepDetail = (detail: MeasuredText, system: UnitSystem): string => inUnits(detail, system);

/** As many words as a cell of the main screen holds; the whole stands in the list of steps. */
export function shortened(text: string, mostChars = 42): string {
  if (text.length <= mostChars) return text;
  const cut = text.slice(0, mostChars - 1);
  return `${cut.slice(0, Math.max(cut.lastIndexOf(' '), mostChars >> 1))}…`;
}

export function stepTime(step: Step, offsetMs: number): string {
  const from = rigTime(step.fromMs, offsetMs);
  return step.toMs === null ? `since ${from}` : `${from}, for ${span((step.toMs - step.fromMs) / 1000)}`;
}

export function numberInWords({ value }: StepNumber, system: UnitSystem): string {
  const text = figure(value.quantity, value.value, system, value.decimals);
  return `${text} ${unitLabel(value.quantity, system)}`.trim();
}

/** What stands on the main screen: the step underway that began last, else the newest one. */
export function stepInSight(steps: readonly Step[]): Step | null {
  const newestFirst = [...steps].reverse();
  return newestFirst.find((step) => step.outcome === 'open') ?? newestFirst[0] ?? null;
}
