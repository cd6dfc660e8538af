/** Where the run is played back: what it takes is fetched when it is first asked for, so that the live screen opens light. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { besideIn } from '../beside/besideHash.ts';
import { type DialogName, openDialog } from '../frame/dialogs.ts';
import { runInHash } from '../recorded.ts';
import { stance } from '../together/sharedState.ts';
import { whatIfIn } from '../whatIf/whatIfHash.ts';
import { barWanted } from './barWanted.ts';

type Part =
  | { readonly kind: 'none' }
  | { readonly kind: 'here'; readonly View: ComponentType }
  | { readonly kind: 'failed' };

const DIALOGS: readonly DialogName[] = ['what if', 'passes', 'beside'];

export function ReplayPlace() {
  const part = useSignal<Part>({ kind: 'none' });
  useEffect(() => {
    const look = (): void => {
      // Of a recorded run it is asked once that is on the screen.
      if (runInHash(location.hash) !== null) return;
      if (whatIfIn(location.hash) !== null) openDialog.value = 'what if';
      if (besideIn(location.hash) !== null) openDialog.value = 'beside';
    };
    look();
    addEventListener('hashchange', look);
    return () => removeEventListener('hashchange', look);
  }, []);
  const isTogether = stance.value === 'following' || stance.value === 'leading';
  const asked = isTogether || barWanted.value > 0 || DIALOGS.includes(openDialog.value);
  useEffect(() => {
    if (!asked || part.peek().kind === 'here') return;
    import('./ReplayView.tsx').then(
      ({ ReplayView }) => {
        part.value = { kind: 'here', View: ReplayView };
      },
      (fault: unknown) => {
        console.info(`the replay could not be fetched: ${String(fault)}`);
        part.value = { kind: 'failed' };
        barWanted.value = 0;
      },
    );
  }, [asked]);
  if (part.value.kind === 'here') return <part.value.View />;
  if (part.value.kind === 'failed') return <p class="time-failed">The service cannot be reached: no replay.</p>;
  return null;
}
