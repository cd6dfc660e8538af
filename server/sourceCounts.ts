/** What the record says of its source, from what the reader counted. */
import type { ReaderCounts } from '../ingest/streamReader.ts';
import { LOST_ROWS } from '../ingest/table/rowRefusals.ts';
import { LOST_PACKETS } from '../ingest/wits/refusals.ts';
import type { SourceCounts } from '../src/record/record.ts';

/** Reasons of either kind of source under which a frame or row made no sample; some are of both. */
const LOST = new Set<string>([...LOST_PACKETS, ...LOST_ROWS]);

/** `rejected` counts frames; the reasons also count bytes, lines and values, each in its own measure. */
export function sourceCounts({ frames, rejected }: ReaderCounts): SourceCounts {
  let lost = 0;
  for (const [reason, count] of Object.entries(rejected)) if (LOST.has(reason)) lost += count;
  return { frames, rejected: lost, reasons: { ...rejected } };
}
