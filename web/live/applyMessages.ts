/** The only writer of what the page knows: messages of the service into signals. */
import { batch, signal } from '@preact/signals';
import type { EventState, JointState, Now, SnapshotMessage, TraceRow } from '../../src/live/messages.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import {
  clock,
  events,
  type Freshness,
  freshness,
  ingest,
  joints,
  journalLeftOut,
  journalLines,
  notWorkedOut,
  now,
  plan,
  rowListeners,
  runName,
  selectedJoint,
  steps,
} from '../state.ts';
import { type Merged, withEvents } from './mergeDeltas.ts';

/**
 * The newest end of the run, while another instant of it is looked at: live messages go on into it, and the panels are
 * given it back when the viewer returns.
 */
let newest: Shown | null = null;

/** All that the panels show of one instant. */
type Shown = Pick<SnapshotMessage, 'run' | 'plan' | 'now' | 'events' | 'steps'> & { joints: (JointState | null)[] };

/** From now on the panels keep still, until `showInstant` or `showNewest`. */
export function holdNewest(): void {
  const shownPlan = plan.peek();
  if (newest || runName.peek() === null || !shownPlan) return;
  newest = {
    run: runName.peek()!,
    plan: shownPlan,
    now: now.peek(),
    joints: joints.peek().map((joint) => joint.peek()),
    events: [...events.peek()],
    steps: [...steps.peek()],
  };
  heldFreshness = freshness.peek();
  freshness.value = { kind: 'fresh', ageS: 0 };
}

/** Another instant of the run into the panels; only what is named changes. Nothing while the newest end is shown. */
export function showInstant(
  instant: Partial<Omit<SnapshotMessage, 'type' | 'seq' | 'run' | 'clock' | 'ingest'>>,
): void {
  if (!newest) return;
  batch(() => {
    if (instant.plan) takePlan(instant.plan);
    for (const joint of instant.joints ?? []) takeJoint(joint);
    if (instant.now !== undefined) now.value = instant.now;
    if (instant.steps) steps.value = instant.steps;
    if (instant.events) events.value = withEvents([], byId(instant.events));
  });
}

/** Back to the newest end, as live messages have brought it on meanwhile. */
export function showNewest(): void {
  if (!newest) return;
  const { joints: held, ...rest } = newest;
  const known = held.filter((joint) => joint !== null);
  batch(() => {
    showInstant({ ...rest, joints: known });
    newest = null;
    freshness.value = heldFreshness;
  });
}

/** Of the newest end, whatever is looked at. */
export const newestNow = (): Now | null => (newest ? newest.now : now.peek());
export const newestFreshness = (): Freshness => (newest ? heldFreshness : freshness.peek());
let heldFreshness: Freshness = { kind: 'nothing yet' };

/** How old the newest end is. What is looked at of the past is not stale: its age is said by the time bar. */
export function applyFreshness(found: Freshness): void {
  if (newest) heldFreshness = found;
  else freshness.value = found;
}

const byId = (list: readonly EventState[]) => new Map(list.map((event) => [event.id, event]));

/** Signals of joints are kept when the plan has as many, so that their rows stay. */
function takePlan(next: Plan): void {
  if (JSON.stringify(plan.peek()) === JSON.stringify(next)) return;
  plan.value = next;
  joints.value = next.liner.joints.map(() => signal<JointState | null>(null));
}

function takeJoint(joint: JointState): void {
  const holder = joints.peek()[joint.index];
  if (holder) holder.value = joint;
}

/** Everything anew. */
export function applySnapshot(message: SnapshotMessage): void {
  batch(() => {
    ingest.value = message.ingest;
    notWorkedOut.value = message.turnedOff;
    journalLines.value = message.journal?.lines ?? [];
    journalLeftOut.value = { entries: message.journal?.leftOut ?? 0, notes: message.journal?.notesLeftOut ?? 0 };
    if (newest && newest.run === message.run) {
      newest = { ...message, joints: [...message.joints] };
      return;
    }
    // Another run: what was looked at of the one before is over.
    newest = null;
    if (runName.value !== message.run) selectedJoint.value = null;
    runName.value = message.run;
    takePlan(message.plan);
    for (const joint of message.joints) takeJoint(joint);
    now.value = message.now;
    steps.value = message.steps;
    events.value = withEvents([], byId(message.events));
  });
}

export function applyMerged(merged: Merged): void {
  batch(() => {
    if (merged.ingest) ingest.value = merged.ingest;
    if (merged.lines.length > 0) journalLines.value = [...journalLines.peek(), ...merged.lines];
    if (newest) intoNewest(newest, merged);
    else intoPanels(merged);
  });
  if (merged.rows.length > 0) tellRows(merged.rows);
}

function intoPanels(merged: Merged): void {
  if (merged.now) now.value = merged.now;
  if (merged.steps) steps.value = merged.steps;
  for (const joint of merged.joints.values()) takeJoint(joint);
  if (merged.events.size > 0) events.value = withEvents(events.peek(), merged.events);
}

function intoNewest(held: Shown, merged: Merged): void {
  if (merged.now) held.now = merged.now;
  if (merged.steps) held.steps = [...merged.steps];
  for (const [index, joint] of merged.joints) held.joints[index] = joint;
  if (merged.events.size > 0) held.events = withEvents(held.events, merged.events);
}

/** A listener that throws must not keep the others from their rows; the fault is ours and is shown loudly. */
function tellRows(rows: TraceRow[]): void {
  for (const listener of rowListeners) {
    try {
      listener(rows);
    } catch (fault) {
      reportError(fault);
    }
  }
}

/** Kept apart from the rest since it moves a little with every message: only what asks for an age reads it. */
export function applyClock(rate: number, offsetMs: number): void {
  const known = clock.peek();
  if (known.rate !== rate || known.offsetMs !== offsetMs) clock.value = { rate, offsetMs };
}
