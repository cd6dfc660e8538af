/** Which cause code a stretch of the run has: what was said last holds. */
import { type IntervalSet, subtract, toSpans, union } from '../intervals.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { TimeCodeEntry } from './timeEntry.ts';

export interface CodedStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly code: string;
  readonly reason: string;
  readonly by: string;
}

/** In the order of their instants, none over another. */
export function codedStretches(entries: readonly JournalEntry[]): CodedStretch[] {
  let said: IntervalSet = [];
  const found: CodedStretch[] = [];
  const coded = entries.filter((entry): entry is TimeCodeEntry => entry.action === 'time code');
  for (const { from, to, code, reason, by } of coded.reverse()) {
    const whole = [Date.parse(from), Date.parse(to)];
    if (!(whole[1]! > whole[0]!)) continue;
    if (code !== null) {
      for (const [fromMs, toMs] of toSpans(subtract(whole, said))) found.push({ fromMs, toMs, code, reason, by });
    }
    said = union(said, whole);
  }
  return found.sort((a, b) => a.fromMs - b.fromMs);
}
