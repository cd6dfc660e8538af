/** How the source fares, as the pages are told. */
import type { StreamReader } from '../../ingest/streamReader.ts';
import { codeText } from '../../ingest/wits/items.ts';
import type { IngestState, LeftOutState, RecordingState } from '../../src/live/messages.ts';

/** Unknown item codes shown; the reader counts them all. */
const UNKNOWN_CODES_SHOWN = 64;
const QUEUE_FULL = 'queue full, bytes';

export type Link = Pick<IngestState, 'link' | 'linkDetail'>;

/** @param queueRefused bytes that found the queue full */
export function ingestStateOf(
  source: string,
  { link, linkDetail }: Link,
  reader: StreamReader,
  queueRefused: number,
  recording: RecordingState,
  leftOut: LeftOutState | null,
): IngestState {
  const { bytes, frames, samples, rejected, unknownCodes } = reader.counts;
  const refused: Record<string, number> = { ...rejected };
  if (queueRefused > 0) refused[QUEUE_FULL] = queueRefused;
  return {
    source,
    link,
    // A recorded stream that cannot be read says why where its link is shown.
    linkDetail: reader.refusal ?? linkDetail,
    bytes,
    frames,
    samples,
    rejected: refused,
    unknownCodes: [...unknownCodes]
      .slice(0, UNKNOWN_CODES_SHOWN)
      .map(([code, { count, last }]) => ({ code: typeof code === 'number' ? codeText(code) : code, count, last })),
    recording,
    ...(leftOut ? { leftOut } : {}),
  };
}
