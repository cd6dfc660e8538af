/** An event as it is told, and in what order: open before closed, well control before all, urgent before less urgent, what waits to be acknowledged before what is, newest first. */
import { EVENTS, type EventKind, PRIORITIES, type Priority } from '../../src/events.ts';
import type { EventState } from '../../src/live/messages.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figureWithUnit, rigTime, span } from '../figures.ts';

/** How many closed ones are worth a look while the job goes on, until all are asked for. */
export const CLOSED_SHOWN = 8;

export type AckState = 'not acknowledged' | 'acknowledged' | 'ended, not acknowledged';

export function ackState({ acknowledged, toMs }: EventState): AckState {
  if (acknowledged) return 'acknowledged';
  return toMs === null ? 'not acknowledged' : 'ended, not acknowledged';
}

export interface EventLists {
  readonly open: readonly EventState[];
  readonly closed: readonly EventState[];
}

/** @param mostClosed of the closed ones that are listed */
export function eventLists(events: readonly EventState[], mostClosed = CLOSED_SHOWN): EventLists {
  const rank = (event: EventState): number => PRIORITIES.indexOf(event.priority);
  const first = (event: EventState): number => (ofKind(event).ranksFirst ? 0 : 1);
  const waits = (event: EventState): number => (event.acknowledged ? 1 : 0);
  const open = events.filter((event) => event.toMs === null);
  const closed = events.filter((event) => event.toMs !== null);
  return {
    open: open.sort((a, b) => first(a) - first(b) || rank(a) - rank(b) || waits(a) - waits(b) || b.fromMs - a.fromMs),
    closed: closed.sort((a, b) => waits(a) - waits(b) || b.toMs! - a.toMs! || b.id - a.id).slice(0, mostClosed),
  };
}

/** What holds for every event of this kind. */
export const ofKind = (event: Pick<EventState, 'kind'>): EventKind => EVENTS[event.kind];

/** `rotational stall`: the form, where it is known, and the kind. */
export const eventName = (event: Pick<EventState, 'kind' | 'form'>): string =>
  event.form ? `${event.form} ${event.kind}` : event.kind;

export const PRIORITY_SAYINGS: Readonly<Record<Priority, string>> = {
  high: 'Act now',
  medium: 'Act soon',
  low: 'Take note',
};

/** Where and since when: `S3 at 2 455.70 m, since 14:02:11`. */
export function eventPlace(event: EventState, system: UnitSystem, offsetMs: number): string {
  const depth = event.depth === null ? '' : figureWithUnit('length', event.depth, system);
  const where = event.joint ? (depth ? `${event.joint} at ${depth}` : event.joint) : depth && `at ${depth}`;
  const when =
    event.toMs === null
      ? `since ${rigTime(event.fromMs, offsetMs)}`
      : `${rigTime(event.fromMs, offsetMs)}, for ${span((event.toMs - event.fromMs) / 1000)}`;
  return where ? `${where}, ${when}` : when;
}
