/** What became of bytes that were given to be recorded. */
import type { Place } from '../keep/logTail.ts';

/**
 *   waiting ──on the disk──> recorded
 *      └───────no──────────> lost        (named in the log as a hole, as soon as it can be written again)
 */
export type TicketState =
  | { readonly kind: 'waiting' }
  | { readonly kind: 'recorded'; readonly place: Pick<Place, 'number' | 'hash'> }
  | { readonly kind: 'lost' };

export interface Ticket {
  readonly state: TicketState;
  /** Resolves when it no longer waits. */
  readonly settled: Promise<void>;
  /** By `performance.now()`: the live screen does not wait for the disk beyond this. */
  readonly untilMs: number;
}
