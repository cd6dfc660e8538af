/** Tells the format of a recorded stream from its content, never from its name. */
import { isLasText } from '../src/engineering/lasText.ts';
import type { Job } from '../src/plan/job.ts';
import { createCsvReader } from './csv/csvReader.ts';
import { ByteText } from './table/byteText.ts';
import { WitsDecoder } from './wits/decoder.ts';

export const FORMATS = ['wits0', 'csv', 'las', 'witsml'] as const;
export type StreamFormat = (typeof FORMATS)[number];

/** Bytes from the start of a stream that are looked at. */
export const RECOGNISE_BYTES = 64 * 1024;
/** Share of them that must lie in packets: a text that happens to hold a mark and a number is no stream. */
const LEAST_FRAMED = 0.1;

function isWits(head: Uint8Array): boolean {
  const decoder = new WitsDecoder(() => {});
  decoder.push(head);
  decoder.finish();
  const content = decoder.bytes - decoder.separators;
  return decoder.packets > 0 && decoder.framed >= LEAST_FRAMED * content;
}

function textOf(head: Uint8Array): string {
  let text = '';
  const bytes = new ByteText((piece) => {
    text += piece;
  });
  bytes.push(head);
  bytes.end();
  return text;
}

/** XML whose root is `logs`; a document type before it makes no difference here: the reader refuses it and says so. */
const WITSML = /^\s*<(?:[\s\S]*<)?(?:[\w-]+:)?logs[\s>]/;
const LAS_SECTION = /^[^\S\r\n]*~[A-Za-z]/m;

/** Any stream: for the names and times of a table it makes no difference. */
const ANY_STREAM: Job['stream'] = { units: 'metric', utcOffsetMs: 0, nulls: [], gapAfterMs: 5000, channels: {} };

/** A table whose header names a time, and either a channel or rows with times below it. */
function isCsv(head: Uint8Array): boolean {
  const reader = createCsvReader(ANY_STREAM, () => {});
  reader.push(head, Number.NaN);
  const { frames, rejected } = reader.counts;
  const untimed =
    (rejected['unreadable time'] ?? 0) + (rejected['ragged row'] ?? 0) + (rejected['unclosed quote'] ?? 0);
  return frames > untimed || reader.columns.some(({ feeds }) => feeds !== null && feeds !== 'time');
}

/** @param bytes the first bytes of the stream; those beyond `RECOGNISE_BYTES` are not looked at. Null: none that we know. */
export function recognise(bytes: Uint8Array): StreamFormat | null {
  const head = bytes.subarray(0, RECOGNISE_BYTES);
  if (isWits(head)) return 'wits0';
  const text = textOf(head);
  if (WITSML.test(text)) return 'witsml';
  if (isLasText(text) && LAS_SECTION.test(text)) return 'las';
  return isCsv(head) ? 'csv' : null;
}
