/**
 * Events and the conditions that raise them. A condition must stand for its kind's on-delay before an event opens, dated
 * back to when it began; it must be gone for the off-delay before the event closes, dated back to when it went.
 */
import { EVENT_NAMES, EVENTS, type EventForm, type EventName } from '../events.ts';
import type { EventState } from '../live/messages.ts';
import type { MeasuredText } from '../measuredText.ts';

export interface LoggedEvent extends EventState {
  revision: number;
}

export interface Watch {
  /** When the condition began, NaN while it does not stand. */
  sinceMs: number;
  /** When it went away, NaN while it stands. */
  goneMs: number;
  /** Index of the open event, -1 for none. */
  open: number;
  joint: string | null;
  depth: number;
  /** Worst value while the condition stood. */
  worst: number;
}

export interface EventLog {
  events: LoggedEvent[];
  watches: Record<EventName, Watch>;
  /** Grows with every change to any event. */
  revision: number;
}

const createWatch = (): Watch => ({
  sinceMs: Number.NaN,
  goneMs: Number.NaN,
  open: -1,
  joint: null,
  depth: Number.NaN,
  worst: Number.NaN,
});

export function createEventLog(): EventLog {
  const watches = Object.fromEntries(EVENT_NAMES.map((name) => [name, createWatch()])) as Record<EventName, Watch>;
  return { events: [], watches, revision: 0 };
}

/** Writes an event as a whole, with both ends known, or open where `toMs` is null. Returns its index. */
export function logEvent(
  log: EventLog,
  kind: EventName,
  joint: string | null,
  depth: number,
  fromMs: number,
  toMs: number | null,
  detail: MeasuredText,
): number {
  log.revision += 1;
  log.events.push({
    id: log.events.length + 1,
    kind,
    priority: EVENTS[kind].priority,
    joint,
    depth: Number.isNaN(depth) ? null : depth,
    fromMs,
    toMs,
    detail,
    revision: log.revision,
  });
  return log.events.length - 1;
}

export function changeEvent(log: EventLog, index: number, toMs: number | null, detail: MeasuredText): void {
  const event = log.events[index]!;
  if (event.toMs === toMs && event.detail === detail) return;
  log.revision += 1;
  event.toMs = toMs;
  event.detail = detail;
  event.revision = log.revision;
}

export function acknowledgeEvent(log: EventLog, index: number, by: NonNullable<EventState['acknowledged']>): void {
  const event = log.events[index]!;
  log.revision += 1;
  event.acknowledged = by;
  event.revision = log.revision;
}

/** A condition that stands at one sample. */
export interface Reading {
  readonly joint: string | null;
  readonly depth: number;
  /** When it began, where that is known to be earlier than now. */
  readonly fromMs: number;
  /** The value judged, and which way is worse. */
  readonly value: number;
  readonly worseIs: 'low' | 'high';
  /** What two depths may differ by without movement, m. */
  readonly toleranceM: number;
}

/** Whether the condition is standing or its event open: the caller then asks for the dead band as well. */
export function isWatched(log: EventLog, kind: EventName): boolean {
  const watch = log.watches[kind];
  return watch.open >= 0 || !Number.isNaN(watch.sinceMs);
}

/** Nothing stands and nothing is open: a condition that does not stand changes nothing. */
export const isIdle = (watch: Watch): boolean => Number.isNaN(watch.sinceMs);

/** Works one sample of a condition in: a reading while it stands, null while it does not. `says` words the worst value. */
export function watchCondition(log: EventLog, kind: EventName, atMs: number, reading: null): void;
export function watchCondition(
  log: EventLog,
  kind: EventName,
  atMs: number,
  reading: Reading,
  says: (worst: number) => MeasuredText,
): void;
export function watchCondition(
  log: EventLog,
  kind: EventName,
  atMs: number,
  reading: Reading | null,
  says: (worst: number) => MeasuredText = () => kind,
): void {
  const watch = log.watches[kind];
  if (!reading) {
    gone(log, kind, watch, atMs);
    return;
  }
  if (watch.open >= 0 && reading.joint !== watch.joint) endWatch(log, kind, atMs);
  standing(log, kind, watch, atMs, reading, says);
}

function standing(
  log: EventLog,
  kind: EventName,
  watch: Watch,
  atMs: number,
  reading: Reading,
  says: (worst: number) => MeasuredText,
): void {
  watch.goneMs = Number.NaN;
  if (Number.isNaN(watch.sinceMs)) {
    watch.sinceMs = Math.min(atMs, reading.fromMs);
    watch.joint = reading.joint;
    watch.depth = reading.depth;
    watch.worst = reading.value;
  }
  const worse = reading.worseIs === 'low' ? reading.value < watch.worst : reading.value > watch.worst;
  if (worse) watch.worst = reading.value;
  if (watch.open >= 0) {
    if (worse) changeEvent(log, watch.open, null, says(watch.worst));
  } else if (atMs - watch.sinceMs >= EVENTS[kind].onDelayMs && hasCost(kind, watch, reading)) {
    watch.open = logEvent(log, kind, watch.joint, watch.depth, watch.sinceMs, null, says(watch.worst));
  }
}

/** Notes in which form the condition shows, once its event is open; the words follow. */
export function formWatched(
  log: EventLog,
  kind: EventName,
  form: EventForm | undefined,
  says: (worst: number) => MeasuredText,
): void {
  const watch = log.watches[kind];
  const event = log.events[watch.open];
  if (!event || form === undefined || event.form === form) return;
  event.form = form;
  changeEvent(log, watch.open, event.toMs, says(watch.worst));
}

/** Whether enough has been swept under the condition, beyond what the readings can be wrong by. */
function hasCost(kind: EventName, watch: Watch, reading: Reading): boolean {
  const least = EVENTS[kind].onAdvanceM;
  return least === 0 || reading.depth - watch.depth >= Math.max(least, 2 * reading.toleranceM);
}

function gone(log: EventLog, kind: EventName, watch: Watch, atMs: number): void {
  if (isIdle(watch)) return;
  if (Number.isNaN(watch.goneMs)) watch.goneMs = atMs;
  // What had not stood long enough to open an event is forgotten at once.
  if (watch.open < 0 || atMs - watch.goneMs >= EVENTS[kind].offDelayMs) endWatch(log, kind, watch.goneMs);
}

/** Ends a condition at once: the joint has changed, or nothing can be known any more. */
export function endWatch(log: EventLog, kind: EventName, atMs: number): void {
  const watch = log.watches[kind];
  if (watch.open >= 0) {
    changeEvent(log, watch.open, Math.max(log.events[watch.open]!.fromMs, atMs), log.events[watch.open]!.detail);
  }
  watch.open = -1;
  watch.sinceMs = Number.NaN;
  watch.goneMs = Number.NaN;
  watch.worst = Number.NaN;
}

export function endAllWatches(log: EventLog, atMs: number): void {
  for (const name of EVENT_NAMES) if (!Number.isNaN(log.watches[name].sinceMs)) endWatch(log, name, atMs);
}
