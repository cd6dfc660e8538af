/** Knows our own request when a full-duplex line sends it back. */
import { WitsDecoder } from './decoder.ts';
import { NUMBER, type WitsPacket } from './packet.ts';

/** A null on an item that changes nothing, and the request's vendor name: the habit of the field (common practice). */
export const DEFAULT_POLL_ITEM = '0111-9999';
export const DEFAULT_POLL = `&&\r\n${DEFAULT_POLL_ITEM}\r\n!!\r\n`;
export const VENDOR_CODE = 1984;

export class PollEcho {
  private readonly values = new Map<number, number>();

  constructor(payload: string = DEFAULT_POLL) {
    const decoder = new WitsDecoder((packet) => {
      for (let i = 0; i < packet.count; i++) this.values.set(packet.codes[i]!, packet.values[i]!);
    });
    decoder.push(Buffer.from(DEFAULT_POLL, 'latin1'));
    decoder.push(Buffer.from(payload, 'latin1'));
    decoder.finish();
  }

  /** Whether a packet without a stamp holds the items of our request, with its values, and nothing else. */
  matches(packet: WitsPacket): boolean {
    if (packet.count > this.values.size + 1) return false;
    let found = 0;
    for (let i = 0; i < packet.count; i++) {
      const code = packet.codes[i]!;
      if (code === VENDOR_CODE) continue;
      found++;
      const asked = this.values.get(code);
      if (asked === undefined) return false;
      if (packet.kinds[i] === NUMBER && packet.values[i] !== asked) return false;
    }
    return found > 0;
  }
}
