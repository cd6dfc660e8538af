/** An entry on its way to the service, as a dialog shows it. */
import { type Signal, useSignal } from '@preact/signals';
import { enterEntry, type PageEntry } from './enterEntry.ts';

export type Sending =
  | { readonly kind: 'idle' }
  | { readonly kind: 'sending' }
  | { readonly kind: 'refused'; readonly why: string };

/** One entry at a time; resolves with whether it was entered. */
export function useSending(): readonly [Signal<Sending>, (entry: PageEntry) => Promise<boolean>] {
  const sending = useSignal<Sending>({ kind: 'idle' });
  const send = async (entry: PageEntry): Promise<boolean> => {
    if (entry.by === '' || sending.peek().kind === 'sending') return false;
    sending.value = { kind: 'sending' };
    const answer = await enterEntry(entry);
    sending.value = answer.kind === 'refused' ? { kind: 'refused', why: answer.why } : { kind: 'idle' };
    return answer.kind === 'entered';
  };
  return [sending, send];
}
