/** The steps of a run as they are proven; see `src/steps.ts`. */
import type { Measure, MeasuredText } from '../measuredText.ts';
import type { Step, StepKind, StepNumber, StepOutcome } from '../steps.ts';

export interface StepLog {
  steps: Step[];
  /** Grows with every change. */
  revision: number;
}

export function createStepLog(): StepLog {
  return { steps: [], revision: 0 };
}

export const stepNumber = (
  name: string,
  quantity: Measure['quantity'],
  value: number,
  decimals: number,
): StepNumber => ({
  name,
  value: { quantity, value, decimals },
});

/** Opens a step, or writes it whole where `toMs` is known. Returns its index. */
export function logStep(
  log: StepLog,
  kind: StepKind,
  name: string,
  fromMs: number,
  toMs: number | null,
  outcome: StepOutcome,
  detail: MeasuredText,
  numbers: StepNumber[] = [],
): number {
  log.revision += 1;
  log.steps.push({ id: log.steps.length + 1, kind, name, fromMs, toMs, outcome, detail, numbers });
  return log.steps.length - 1;
}

/** Changes a step in place. */
export function changeStep(log: StepLog, index: number, change: Partial<Omit<Step, 'id' | 'kind'>>): void {
  Object.assign(log.steps[index]!, change);
  log.revision += 1;
}
