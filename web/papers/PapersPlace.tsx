/** Where the papers of a run are shown, and where an address leads to a moment of it: fetched when first looked at. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { recorded, runInHash } from '../recorded.ts';
import { view } from '../view.ts';
import { followMoments } from './goToMoment.ts';

type Part =
  | { readonly kind: 'fetching' }
  | { readonly kind: 'here'; readonly View: ComponentType }
  | { readonly kind: 'failed' };

export function PapersPlace() {
  const part = useSignal<Part>({ kind: 'fetching' });
  useEffect(() => followMoments(), []);
  const looked = view.value === 'papers';
  useEffect(() => {
    if (!looked || part.peek().kind === 'here') return;
    part.value = { kind: 'fetching' };
    import('./PapersView.tsx').then(
      ({ PapersView }) => {
        part.value = { kind: 'here', View: PapersView };
      },
      (fault: unknown) => {
        console.info(`the papers could not be fetched: ${String(fault)}`);
        part.value = { kind: 'failed' };
      },
    );
  }, [looked]);
  if (!looked) return null;
  // An address may name a run that is still being read.
  const isOpening = recorded.value === null && runInHash(location.hash) !== null;
  if (part.value.kind === 'here' && !isOpening) return <part.value.View />;
  const failed = part.value.kind === 'failed';
  return (
    <div class="check-view">
      <p class="check-wait">
        {failed ? 'The service cannot be reached. Go back and try again.' : 'Fetching the papers…'}
      </p>
    </div>
  );
}
