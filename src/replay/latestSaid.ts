/**
 * What people said last of events and joints, laid over an earlier instant: who looks with what is known now sees an event
 * of 03:12 acknowledged that somebody acknowledged at 04:00. An event is told by its kind, its joint and when it began.
 */
import type { EventState, JointState } from '../live/messages.ts';
import type { Run } from '../pipeline/run.ts';
import { eventStateOf, eventsOf, jointStateOf } from '../pipeline/view.ts';

export interface LatestSaid {
  readonly acknowledged: ReadonlyMap<string, NonNullable<EventState['acknowledged']>>;
  /** By the joint's name. */
  readonly decisions: ReadonlyMap<string, NonNullable<JointState['decision']>>;
}

const keyOf = ({ kind, joint, fromMs }: EventState): string => `${kind} ${joint} ${Math.trunc(fromMs)}`;

/** @param run at its end, as it was seen */
export function latestSaid(run: Run): LatestSaid {
  const acknowledged = new Map<string, NonNullable<EventState['acknowledged']>>();
  for (const event of eventsOf(run).map(eventStateOf)) {
    if (event.acknowledged) acknowledged.set(keyOf(event), event.acknowledged);
  }
  const decisions = new Map<string, NonNullable<JointState['decision']>>();
  for (const { index, name } of run.job.joints) {
    if (!run.journal.decisions[name]) continue;
    const { decision } = jointStateOf(run, index);
    if (decision) decisions.set(name, decision);
  }
  return { acknowledged, decisions };
}

/** @param names of the joints by their index */
export function withLatestSaid<Instant extends { readonly events?: EventState[]; readonly joints?: JointState[] }>(
  instant: Instant,
  { acknowledged, decisions }: LatestSaid,
  names: readonly string[],
): Instant {
  return {
    ...instant,
    ...(instant.events && {
      events: instant.events.map((event) => {
        const said = acknowledged.get(keyOf(event));
        return said ? { ...event, acknowledged: said } : event;
      }),
    }),
    ...(instant.joints && {
      joints: instant.joints.map((joint) => {
        const decision = decisions.get(names[joint.index] ?? '');
        return decision ? { ...joint, decision } : joint;
      }),
    }),
  };
}
