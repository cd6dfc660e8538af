/** When a reading outside its bounds is something to be shown as wrong. */
import type { Now } from '../../src/live/messages.ts';
import type { GaugeMarks } from './gaugeScale.ts';

export type InstrumentName = 'pressure' | 'feed' | 'rotation' | 'torque';

/**
 * Too little pressure or rotation, or too fast a feed, spoil metres only while metres are made: pumps off for a stand
 * connection is no fault. Too much pressure or torque may hurt pipe at any time.
 */
export function isAbnormal(
  name: InstrumentName,
  at: GaugeMarks['state'],
  judgement: Now['judgement']['state'],
): boolean {
  if (at === 'above' && (name === 'pressure' || name === 'torque')) return true;
  return judgement === 'bad' && (at === 'below' || at === 'above');
}
