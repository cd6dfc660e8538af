import type { IngestState } from '../../src/live/messages.ts';

/** For how many reasons something was refused. Their counts are of bytes, lines or packets: they have no sum. */
export function refusalReasons(state: Pick<IngestState, 'rejected'>): number {
  return Object.values(state.rejected).filter((count) => count > 0).length;
}

/** Few words for the masthead. */
export function refusalWords(state: Pick<IngestState, 'rejected'>): string {
  const reasons = refusalReasons(state);
  if (reasons === 0) return 'none refused';
  return reasons === 1 ? 'refusals for 1 reason' : `refusals for ${reasons} reasons`;
}
