/** What a report says beside the run itself: who signed what and whether it holds, and where the time went. */
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { ReportExtras } from '../../src/report/reportInput.ts';
import { signaturesOf } from '../../src/signing/signatures.ts';
import { timeSheet } from '../../src/time/timeSheet.ts';
import { sha256 } from '../signing/signDesk.ts';

export interface SaidRun {
  /** That it began with, and that is in force. */
  readonly firstPlan: Plan;
  readonly plan: Plan;
  /** In the units of the plan: those are what was signed. */
  readonly record: RunRecord;
  readonly entries: readonly JournalEntry[];
}

export function reportExtras({ firstPlan, plan, record, entries }: SaidRun): ReportExtras {
  return {
    signatures: signaturesOf({ plan, record, entries }, sha256),
    time: timeSheet({ plan: firstPlan, record, entries }),
  };
}
