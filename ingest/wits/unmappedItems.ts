/** Items that feed no channel: counted by code, with the raw text of the last one. Bounded; allocates nothing an item. */
import type { UnknownCode } from '../streamReader.ts';
import type { WitsPacket } from './packet.ts';

export const UNMAPPED_LIMITS = { codes: 500, textBytes: 64 } as const;

export class UnmappedItems {
  private readonly places = new Int16Array(10_000).fill(-1);
  private readonly codes: number[] = [];
  private readonly counts = new Float64Array(UNMAPPED_LIMITS.codes);
  private readonly lengths = new Uint8Array(UNMAPPED_LIMITS.codes);
  private readonly texts = new Uint8Array(UNMAPPED_LIMITS.codes * UNMAPPED_LIMITS.textBytes);

  /** False: the code is one beyond the limit, and its item is not kept. */
  note(packet: WitsPacket, i: number): boolean {
    const code = packet.codes[i]!;
    let place = this.places[code]!;
    if (place < 0) {
      if (this.codes.length === UNMAPPED_LIMITS.codes) return false;
      place = this.codes.push(code) - 1;
      this.places[code] = place;
    }
    this.counts[place] = this.counts[place]! + 1;
    const { bytes } = packet;
    const start = packet.starts[i]!;
    const length = Math.min(packet.ends[i]! - start, UNMAPPED_LIMITS.textBytes);
    const to = place * UNMAPPED_LIMITS.textBytes;
    const { texts } = this;
    for (let k = 0; k < length; k++) texts[to + k] = bytes[start + k]!;
    this.lengths[place] = length;
    return true;
  }

  list(): Map<number, UnknownCode> {
    return new Map(
      this.codes.map((code, place) => {
        const from = place * UNMAPPED_LIMITS.textBytes;
        const last = Buffer.from(this.texts.buffer, from, this.lengths[place]!).toString('latin1');
        return [code, { count: this.counts[place]!, last }];
      }),
    );
  }
}
