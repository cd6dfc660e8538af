/** The only writer of what the page knows: messages of the service into signals. */
import { batch, signal } from '@preact/signals';
import type { JointState, SnapshotMessage, TraceRow } from '../../src/live/messages.ts';
import {
  clock,
  events,
  ingest,
  joints,
  notWorkedOut,
  now,
  plan,
  rowListeners,
  runName,
  selectedJoint,
  steps,
} from '../state.ts';
import { type Merged, withEvents } from './mergeDeltas.ts';

/** Everything anew. Signals of joints are kept when the plan has as many, so that their rows stay. */
export function applySnapshot(message: SnapshotMessage): void {
  batch(() => {
    if (runName.value !== message.run) selectedJoint.value = null;
    runName.value = message.run;
    const samePlan = JSON.stringify(plan.peek()) === JSON.stringify(message.plan);
    if (!samePlan) {
      plan.value = message.plan;
      joints.value = message.plan.liner.joints.map(() => signal<JointState | null>(null));
    }
    for (const joint of message.joints) {
      const holder = joints.peek()[joint.index];
      if (holder) holder.value = joint;
    }
    now.value = message.now;
    ingest.value = message.ingest;
    steps.value = message.steps;
    notWorkedOut.value = message.turnedOff;
    events.value = withEvents([], new Map(message.events.map((event) => [event.id, event])));
  });
}

export function applyMerged(merged: Merged): void {
  batch(() => {
    if (merged.now) now.value = merged.now;
    if (merged.ingest) ingest.value = merged.ingest;
    if (merged.steps) steps.value = merged.steps;
    for (const [index, joint] of merged.joints) {
      const holder = joints.peek()[index];
      if (holder) holder.value = joint;
    }
    if (merged.events.size > 0) events.value = withEvents(events.peek(), merged.events);
  });
  if (merged.rows.length > 0) tellRows(merged.rows);
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
