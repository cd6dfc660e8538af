/** An event as it is told, and in what order: open before closed, urgent before less urgent, newest first. */
import { PRIORITIES, type Priority } from '../../src/events.ts';
import type { EventState } from '../../src/live/messages.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figureWithUnit, rigTime, span } from '../figures.ts';

/** How many closed ones are worth a look while the job goes on. */
export const CLOSED_SHOWN = 8;

export interface EventLists {
  readonly open: readonly EventState[];
  readonly closed: readonly EventState[];
}

export function eventLists(events: readonly EventState[]): EventLists {
  const rank = (event: EventState): number => PRIORITIES.indexOf(event.priority);
  const open = events.filter((event) => event.toMs === null);
  const closed = events.filter((event) => event.toMs !== null);
  return {
    open: open.sort((a, b) => rank(a) - rank(b) || b.fromMs - a.fromMs),
    closed: closed.sort((a, b) => b.toMs! - a.toMs! || b.id - a.id).slice(0, CLOSED_SHOWN),
  };
}

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
