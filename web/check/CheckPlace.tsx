/** Where the check is shown: what it takes is fetched when it is first looked at, so that the live screen opens light. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { view } from '../view.ts';

type Part =
  | { readonly kind: 'fetching' }
  | { readonly kind: 'here'; readonly View: ComponentType }
  | { readonly kind: 'failed' };

export function CheckPlace() {
  const part = useSignal<Part>({ kind: 'fetching' });
  const looked = view.value === 'check';
  useEffect(() => {
    if (!looked || part.peek().kind === 'here') return;
    part.value = { kind: 'fetching' };
    import('./CheckView.tsx').then(
      ({ CheckView }) => {
        part.value = { kind: 'here', View: CheckView };
      },
      (fault: unknown) => {
        console.info(`the check could not be fetched: ${String(fault)}`);
        part.value = { kind: 'failed' };
      },
    );
  }, [looked]);
  if (!looked) return null;
  if (part.value.kind === 'here') return <part.value.View />;
  return (
    <div class="check-view">
      <p class="check-wait">
        {part.value.kind === 'failed' ? 'The service cannot be reached. Go back and try again.' : 'Fetching the check…'}
      </p>
    </div>
  );
}
