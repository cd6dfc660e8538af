/** What a viewer asks of the replay before it has been fetched, and after: the keys and the masthead know nothing else of it. */
import { signal } from '@preact/signals';

export type ReplayCommand =
  | 'bar'
  | 'play'
  | 'live'
  | 'sample back'
  | 'sample on'
  | 'jump back'
  | 'jump on'
  | 'slower'
  | 'faster';

/** How often the bar was asked for before there was one. */
export const barWanted = signal(0);

/** An instant that somebody wants to see, until the bar has taken it over. */
export const instantWanted = signal<number | null>(null);

export function wantInstant(ms: number): void {
  instantWanted.value = ms;
  if (!handler) barWanted.value += 1;
}

let handler: ((command: ReplayCommand) => void) | null = null;

export function commandReplay(command: ReplayCommand): void {
  if (handler) handler(command);
  else if (command === 'bar') barWanted.value += 1;
}

export function handleReplay(with_: (command: ReplayCommand) => void): () => void {
  handler = with_;
  return () => {
    handler = null;
  };
}
