/** Why a stretch of a joint is not expanded, worst evidence last: where several hold, the first in this list is named. */
export const GAP_CAUSES = [
  'no data',
  'low pressure',
  'no rotation',
  'fast feed',
  'high feed per turn',
  'not reached',
] as const;
export type GapCause = (typeof GAP_CAUSES)[number];

export const VERDICTS = ['expanded', 'unproven', 'short', 'in progress', 'not reached', 'not planned'] as const;
export type Verdict = (typeof VERDICTS)[number];
