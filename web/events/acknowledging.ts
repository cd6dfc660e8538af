/** Which event is being acknowledged, and on what words. */
import { type Signal, signal } from '@preact/signals';
import { asksReason } from '../../src/events.ts';
import type { EventState } from '../../src/live/messages.ts';
import { openDialog } from '../frame/dialogs.ts';
import { type EntryAnswer, enterEntry } from '../journal/enterEntry.ts';
import { viewerName } from '../preferences.ts';
import { isReplay } from '../replay/replayState.ts';
import { events } from '../state.ts';
import { eventLists } from './eventWords.ts';

export const acknowledging: Signal<EventState | null> = signal<EventState | null>(null);
/** Why the last one was not entered; said in the dialog, which then opens. */
export const notEntered: Signal<string> = signal('');

function ask(event: EventState, why = ''): void {
  acknowledging.value = event;
  notEntered.value = why;
  openDialog.value = 'acknowledge';
}

/** At once where nothing is to be asked, else by the dialog. */
export async function acknowledge(event: EventState): Promise<void> {
  const by = viewerName.peek().trim();
  if (by === '' || asksReason(event.kind)) {
    ask(event);
    return;
  }
  const answer = await enterAcknowledged(event, by, '');
  if (answer.kind === 'refused') ask(event, answer.why);
}

export function enterAcknowledged(event: EventState, by: string, reason: string): Promise<EntryAnswer> {
  const { kind, joint, fromMs } = event;
  const from = new Date(fromMs).toISOString();
  return enterEntry({
    action: 'acknowledge',
    by,
    event: { kind, from, ...(joint === null ? {} : { joint }) },
    ...(reason === '' ? {} : { reason }),
  });
}

/** By key: it is always shown first what is acknowledged. */
export function acknowledgeFirst(): void {
  if (isReplay.peek()) return;
  const { open, closed } = eventLists(events.peek());
  const first = [...open, ...closed].find(({ acknowledged }) => !acknowledged);
  if (first) ask(first);
}
