/** Where the dialogs of the journal are: they are fetched when one is first opened, so that the live screen opens light. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { type DialogName, type JournalDialog, openDialog } from '../frame/dialogs.ts';

const OURS: readonly DialogName[] = ['notes', 'acknowledge', 'decide', 'together'] satisfies JournalDialog[];

export function JournalPlace() {
  const view = useSignal<{ readonly View: ComponentType } | null>(null);
  const asked = OURS.includes(openDialog.value);
  useEffect(() => {
    if (!asked || view.peek()) return;
    import('./JournalView.tsx').then(
      ({ JournalView }) => {
        view.value = { View: JournalView };
      },
      (fault: unknown) => {
        console.info(`the journal could not be fetched: ${String(fault)}`);
        openDialog.value = 'none';
      },
    );
  }, [asked]);
  return view.value ? <view.value.View /> : null;
}
