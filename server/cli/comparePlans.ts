/** One stream under several plans: every record, what is different from the first, and the table of it. */
import { basename } from 'node:path';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { compareRecords } from '../../src/replay/compareRecords.ts';
import { COMPARISON_FORMAT, type ComparisonFile } from '../../src/replay/comparisonSchema.ts';
import { comparisonTable } from '../../src/replay/comparisonTable.ts';

export interface PlanRecord {
  readonly plan: string;
  readonly record: RunRecord;
}

/** @param records at least two; the others stand beside the first */
export function comparePlans(records: readonly PlanRecord[]): {
  readonly file: ComparisonFile;
  readonly table: string;
} {
  const [first, ...others] = records as [PlanRecord, ...PlanRecord[]];
  const compared = others.map(({ plan, record }) => ({ plan, comparison: compareRecords(first.record, record) }));
  return {
    file: {
      format: COMPARISON_FORMAT,
      plans: [...records],
      differences: compared.map(({ plan, comparison }) => ({
        plan,
        ...comparison,
        joints: [...comparison.joints],
        eventsCome: [...comparison.eventsCome],
        eventsGone: [...comparison.eventsGone],
      })),
    },
    table: compared
      .map(({ plan, comparison }) => comparisonTable(comparison, basename(first.plan), basename(plan)))
      .join('\n'),
  };
}
