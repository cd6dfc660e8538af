/** A run of the library that is looked at in place of the live one. Written by `library/openRun.ts` alone. */
import { type Signal, signal } from '@preact/signals';

export interface RecordedRun {
  readonly id: string;
  readonly name: string;
}

/** Null: the live run is looked at. */
export const recorded: Signal<RecordedRun | null> = signal<RecordedRun | null>(null);

/** Whether the service has a live run; found out when it is known. */
export const liveRun: Signal<'asking' | 'there' | 'none'> = signal<'asking' | 'there' | 'none'>('asking');

/** Where the service tells of the run that is looked at. */
export function apiOf(what: string): string {
  const run = recorded.peek();
  return run ? `/api/runs/${encodeURIComponent(run.id)}/${what}` : `/api/${what}`;
}

const RUN_HASH = '#run=';

export const runHash = (id: string): string => RUN_HASH + encodeURIComponent(id);

/** Id or name of the run that an address is of; null for none, or for one that is no text. */
export function runInHash(hash: string): string | null {
  if (!hash.startsWith(RUN_HASH)) return null;
  try {
    return decodeURIComponent(hash.slice(RUN_HASH.length).split('&')[0]!) || null;
  } catch (fault) {
    if (fault instanceof URIError) return null;
    throw fault;
  }
}
