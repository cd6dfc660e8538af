/** Rule L2: every delta carries the next number; what a number means for a page that has seen all up to `lastSeq`. */
import type { ServerMessage } from '../../src/live/messages.ts';

export type Verdict = 'take' | 'known already' | 'hole';

/** @param lastSeq number of the last message taken; null before the first snapshot of this link. */
export function judgeSequence(lastSeq: number | null, message: Pick<ServerMessage, 'type' | 'seq'>): Verdict {
  if (message.type === 'snapshot') return 'take';
  if (lastSeq === null || message.seq > lastSeq + 1) return 'hole';
  return message.seq === lastSeq + 1 ? 'take' : 'known already';
}
