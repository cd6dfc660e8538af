/** What a person decided on a joint, as it is told. */
import type { JointState } from '../../src/live/messages.ts';
import { rigTime } from '../figures.ts';

type Decision = NonNullable<JointState['decision']>;

export const DECISION_SAYINGS: Readonly<Record<Decision['action'], string>> = {
  accept: 'accepted',
  reject: 'rejected',
};

/** `accepted by A. Person, 14:02:11: seen on the gauges` */
export function decisionWords({ action, by, atMs, reason }: Decision, offsetMs: number): string {
  const why = reason === '' ? '' : `: ${reason}`;
  return `${DECISION_SAYINGS[action]} by ${by}, ${rigTime(atMs, offsetMs)}${why}`;
}
