/** A joint's verdict as it is written on every sheet, and the instant at which it is looked at. */
import type { RecordJoint } from '../record/recordSchema.ts';
import type { Tone } from '../sheet/sheet.ts';
import type { Facts } from './facts.ts';

export const VERDICT_TONES: Readonly<Record<RecordJoint['verdict'], Tone>> = {
  expanded: 'good',
  unproven: 'doubt',
  short: 'bad',
  'in progress': 'ink',
  'not reached': 'soft',
  'not planned': 'soft',
};

/** The instant to look at for a verdict: when the joint was left, else when it was begun, else the end of the run. */
export function verdictMs({ record }: Facts, { finishedAt, startedAt }: RecordJoint): number {
  return Date.parse(finishedAt ?? startedAt ?? record.source.to);
}

export const verdictWords = ({ verdict, couldBe }: RecordJoint): string =>
  couldBe ? `${verdict}; within 2σ: ${couldBe.join(' or ')}` : verdict;
