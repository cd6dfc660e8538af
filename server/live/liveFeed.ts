/** What the hub needs of a live run; it knows nothing of plans, sources or decoding. */
import type { Observable } from 'rxjs';
import type { DeltaMessage, SnapshotMessage } from '../../src/live/messages.ts';

export type DeltaParts = Omit<DeltaMessage, 'type' | 'seq' | 'serverMs'>;

/**
 * Something changed; what, is asked for when it is to be sent: soon, or now because much has gathered. `everything`: no
 * delta can tell it, since the plan itself has changed.
 */
export type Change = 'soon' | 'now' | 'everything';

export interface LiveFeed {
  readonly run: string;
  readonly changes: Observable<Change>;
  /** What changed since the last call; null for nothing. */
  takeDelta(): DeltaParts | null;
  /** Everything, as it is after the last `takeDelta`. */
  snapshot(seq: number): SnapshotMessage;
}
