/** Tells the format of a recorded stream from its content, never from its name. */
import { WitsDecoder } from './wits/decoder.ts';

export const FORMATS = ['wits0'] as const;
export type StreamFormat = (typeof FORMATS)[number];

/** Bytes from the start of a stream that are looked at. */
export const RECOGNISE_BYTES = 64 * 1024;
/** Share of them that must lie in packets: a text that happens to hold a mark and a number is no stream. */
const LEAST_FRAMED = 0.1;

/** @param head the first bytes of the stream; those beyond `RECOGNISE_BYTES` are not looked at. Null: none that we know. */
export function recognise(head: Uint8Array): StreamFormat | null {
  const decoder = new WitsDecoder(() => {});
  decoder.push(head.subarray(0, RECOGNISE_BYTES));
  decoder.finish();
  const content = decoder.bytes - decoder.separators;
  return decoder.packets > 0 && decoder.framed >= LEAST_FRAMED * content ? 'wits0' : null;
}
