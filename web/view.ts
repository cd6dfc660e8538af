/** Which of the two views is looked at. It stands in the address, so that a bookmark, or the browser's way back, leads to it. */
import { type Signal, signal } from '@preact/signals';

export type ViewName = 'live' | 'check';
export const CHECK_HASH = '#check';

const viewOf = (hash: string): ViewName => (hash === CHECK_HASH ? 'check' : 'live');

export const view: Signal<ViewName> = signal(typeof location === 'undefined' ? 'live' : viewOf(location.hash));
if (typeof addEventListener === 'function') {
  addEventListener('hashchange', () => {
    view.value = viewOf(location.hash);
  });
}

export function show(name: ViewName): void {
  if (view.peek() === name) return;
  if (name === 'check') location.hash = CHECK_HASH;
  else history.pushState(null, '', location.pathname + location.search);
  view.value = name;
}

export const toggleView = (): void => show(view.peek() === 'check' ? 'live' : 'check');
