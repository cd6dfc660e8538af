/** Where the library is shown, and where an address leads to one of its runs: fetched when it is first asked for. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { putDownLive } from '../live/liveLink.ts';
import { liveRun, recorded, runInHash } from '../recorded.ts';
import { pageLink, runName } from '../state.ts';
import { show, view } from '../view.ts';
import { fetchPart } from './libraryPart.ts';

type Part =
  | { readonly kind: 'none' }
  | { readonly kind: 'here'; readonly View: ComponentType }
  | { readonly kind: 'failed' };

const isAsked = (): boolean => view.value === 'library' || recorded.value !== null;

export function LibraryPlace() {
  const part = useSignal<Part>({ kind: 'none' });
  useEffect(() => followAddress(), []);
  useEffect(() => followLink(), [pageLink.value.kind, runName.value]);
  const asked = isAsked();
  useEffect(() => {
    if (!asked || part.peek().kind === 'here') return;
    fetchPart().then(
      ({ LibraryView }) => {
        part.value = { kind: 'here', View: LibraryView };
      },
      (fault: unknown) => {
        console.info(`the library could not be fetched: ${String(fault)}`);
        part.value = { kind: 'failed' };
      },
    );
  }, [asked]);
  if (view.value !== 'library') return null;
  if (part.value.kind === 'here') return <part.value.View />;
  return (
    <div class="library-wait">
      <p>
        {part.value.kind === 'failed'
          ? 'The service cannot be reached. Go back and try again.'
          : 'Fetching the library…'}
      </p>
    </div>
  );
}

/** An address that names a run opens it; one that names none leaves it. */
function followAddress(): () => void {
  const look = (): void => {
    const named = runInHash(location.hash);
    if (named === null && (recorded.peek() === null || view.peek() !== 'live')) return;
    if (named !== null && recorded.peek()?.id === named) return;
    fetchPart().then(
      ({ openRun, leaveRun }) => {
        if (named === null) leaveRun();
        else void openRun(named);
      },
      (fault: unknown) => console.info(`the library could not be fetched: ${String(fault)}`),
    );
  };
  look();
  addEventListener('hashchange', look);
  addEventListener('popstate', look);
  return () => {
    removeEventListener('hashchange', look);
    removeEventListener('popstate', look);
  };
}

const ANSWER_WITHIN_MS = 15_000;

/** A service that refuses the live link may be one that has a library alone: it is asked once, and that is shown then. */
function followLink(): void {
  if (runName.peek() !== null && recorded.peek() === null) liveRun.value = 'there';
  if (pageLink.peek().kind !== 'lost' || runName.peek() !== null || liveRun.peek() !== 'asking') return;
  fetch('/health', { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) })
    .then((answer) => answer.json())
    .then((health: unknown) => {
      if ((health as { status?: unknown } | null)?.status !== 'library only') return;
      liveRun.value = 'none';
      putDownLive();
      if (recorded.peek() === null && runInHash(location.hash) === null) show('library');
    })
    .catch((fault: unknown) => console.info(`the service was not asked: ${String(fault)}`));
}
