/** How the sockets of the pages fare, as `/api/ingest` tells it. */
import type { Refusal } from './hubLimits.ts';

export interface HubCounts {
  readonly pages: number;
  readonly slow: number;
  readonly seq: number;
  readonly snapshots: number;
  readonly resumed: number;
  readonly refused: Readonly<Record<Refusal, number>>;
  /** Pages that said how they stand to the shared position. */
  readonly watching: number;
}
