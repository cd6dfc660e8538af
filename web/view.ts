/** Which of the views is looked at. It stands in the address, so that a bookmark, or the browser's way back, leads to it. */
import { type Signal, signal } from '@preact/signals';
import { papersAt, papersHash, papersIn } from './papers/papersAddress.ts';
import { liveRun, recorded, runHash } from './recorded.ts';

/** `live`: the main screen, of the live run or of a recorded one. */
export type ViewName = 'live' | 'check' | 'library' | 'papers';
export const CHECK_HASH = '#check';
export const LIBRARY_HASH = '#library';

function viewOf(hash: string): ViewName {
  const papers = papersIn(hash);
  if (papers) {
    papersAt.value = papers;
    return 'papers';
  }
  if (hash === CHECK_HASH) return 'check';
  return hash === LIBRARY_HASH ? 'library' : 'live';
}

export const view: Signal<ViewName> = signal(typeof location === 'undefined' ? 'live' : viewOf(location.hash));
if (typeof addEventListener === 'function') {
  addEventListener('hashchange', () => {
    view.value = viewOf(location.hash);
  });
}

function hashOf(name: ViewName): string {
  if (name === 'check') return CHECK_HASH;
  if (name === 'library') return LIBRARY_HASH;
  if (name === 'papers') return papersHash(papersAt.peek());
  const run = recorded.peek();
  return run ? runHash(run.id) : '';
}

/** Without a live run and a recorded one there is nothing on the main screen. */
const isEmpty = (): boolean => liveRun.peek() === 'none' && recorded.peek() === null;

export function show(name: ViewName): void {
  if (name === 'live' && isEmpty()) return;
  if (view.peek() === name) return;
  // Not by `location.hash`: that would be heard as an address that somebody followed.
  history.pushState(null, '', hashOf(name) || location.pathname + location.search);
  view.value = name;
}

export const toggleView = (name: Exclude<ViewName, 'live'> = 'check'): void =>
  show(view.peek() === name ? 'live' : name);
