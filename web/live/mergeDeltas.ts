/** Deltas that came within one animation frame, as one: the last word on each joint and event, every trace row. */
import type {
  DeltaMessage,
  EventState,
  IngestState,
  JointState,
  JournalLine,
  Now,
  TraceRow,
} from '../../src/live/messages.ts';
import type { Step } from '../../src/steps.ts';

export interface Merged {
  now: Now | null;
  ingest: IngestState | null;
  joints: Map<number, JointState>;
  events: Map<number, EventState>;
  steps: readonly Step[] | null;
  rows: TraceRow[];
  lines: JournalLine[];
}

export const nothingMerged = (): Merged => ({
  now: null,
  ingest: null,
  joints: new Map(),
  events: new Map(),
  steps: null,
  rows: [],
  lines: [],
});

export function mergeDelta(into: Merged, delta: DeltaMessage): void {
  if (delta.now) into.now = delta.now;
  if (delta.ingest) into.ingest = delta.ingest;
  if (delta.steps) into.steps = delta.steps;
  for (const joint of delta.joints ?? []) into.joints.set(joint.index, joint);
  for (const event of delta.events ?? []) into.events.set(event.id, event);
  if (delta.lines) into.lines = into.lines.concat(delta.lines);
  if (delta.rows) into.rows = into.rows.length === 0 ? delta.rows : into.rows.concat(delta.rows);
}

/** Closed events that the page keeps, with what was said of them; the service has them all. */
export const CLOSED_EVENTS_KEPT = 1000;

/** Newest first. Open ones are never dropped. */
export function withEvents(known: readonly EventState[], changed: ReadonlyMap<number, EventState>): EventState[] {
  const byId = new Map(known.map((event) => [event.id, event]));
  for (const [id, event] of changed) byId.set(id, event);
  const sorted = [...byId.values()].sort((a, b) => b.fromMs - a.fromMs || b.id - a.id);
  let closed = 0;
  return sorted.filter((event) => event.toMs === null || ++closed <= CLOSED_EVENTS_KEPT);
}
