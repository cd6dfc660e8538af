/** What the time of a run is spent on: every phase belongs to exactly one activity. One table. */
import type { PhaseName } from '../phases.ts';

export const ACTIVITY_OF = {
  'running in': 'run in',
  circulating: 'circulate',
  'setting hanger': 'set hanger',
  'testing hanger': 'test hanger',
  releasing: 'release',
  'tagging depth': 'tag depth',
  'expanding isolation': 'expand isolation joints',
  'expanding screen': 'expand screens',
  'crossing connection': 'cross connections',
  'passing blank': 'pass blank pipe',
  'making connection': 'add stands',
  'picking up': 'pick up',
  'pulling out': 'pull out',
  stalled: 'stalled',
  waiting: 'wait',
  'no data': 'no data',
} as const satisfies Record<PhaseName, string>;

export type ActivityName = (typeof ACTIVITY_OF)[PhaseName];
export const ACTIVITY_NAMES = Object.values(ACTIVITY_OF) as [ActivityName, ...ActivityName[]];

/** Activities in which the work stands. */
export const STANDING: readonly ActivityName[] = ['stalled', 'wait', 'no data'];
