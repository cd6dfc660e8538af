/** What the record says of its source, from what the reader counted. */
import type { ReaderCounts } from '../ingest/streamReader.ts';
import { refusedPackets } from '../ingest/wits/refusals.ts';
import type { SourceCounts } from '../src/record/record.ts';

/** `rejected` counts frames; the reasons also count bytes, lines and values, each in its own measure. */
export function sourceCounts({ frames, rejected }: ReaderCounts): SourceCounts {
  return { frames, rejected: refusedPackets(rejected), reasons: { ...rejected } };
}
