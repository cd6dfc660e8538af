/** One decoded packet, as the decoder hands it on. */
import { latin1 } from './witsBytes.ts';

export const NUMBER = 0;
export const EMPTY = 1;
export const TEXT = 2;

/** One packet. The object and its arrays are reused: read what is needed before the sink returns. */
export interface WitsPacket {
  count: number;
  /** Item codes, 0108 as 108. */
  readonly codes: Uint16Array;
  /** The number that the value is, NaN for EMPTY and TEXT. */
  readonly values: Float64Array;
  readonly kinds: Uint8Array;
  /** Where the raw value lies in `bytes`: from `starts[i]` up to `ends[i]`. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  readonly bytes: Uint8Array;
  endedBy: 'trailer' | 'next packet' | 'end of stream';
}

/** The raw text of an item (one character a byte, blanks around it taken off). Allocates: for the rare cases. */
export function itemText(packet: WitsPacket, i: number): string {
  return latin1(packet.bytes, packet.starts[i]!, packet.ends[i]!);
}
