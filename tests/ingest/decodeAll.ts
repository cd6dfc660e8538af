import { WitsDecoder } from '../../ingest/wits/decoder.ts';
import { itemText } from '../../ingest/wits/packet.ts';

export interface PlainPacket {
  items: { code: number; value: number; text: string }[];
  endedBy: string;
}

export const latin1 = (text: string): Uint8Array => Buffer.from(text, 'latin1');

/** Pushes the chunks and copies every packet out of the decoder's reused object. */
export function decodeAll(chunks: readonly (string | Uint8Array)[]): { packets: PlainPacket[]; decoder: WitsDecoder } {
  const packets: PlainPacket[] = [];
  const decoder = new WitsDecoder((packet) => {
    const items = Array.from({ length: packet.count }, (_, i) => ({
      code: packet.codes[i]!,
      value: packet.values[i]!,
      text: itemText(packet, i),
    }));
    packets.push({ items, endedBy: packet.endedBy });
  });
  for (const chunk of chunks) decoder.push(typeof chunk === 'string' ? latin1(chunk) : chunk);
  decoder.finish();
  return { packets, decoder };
}

/** Cuts text at the given places (taken modulo its length). */
export function cutAt(text: string, places: readonly number[]): string[] {
  const at = [...new Set(places.map((place) => place % (text.length + 1)))].sort((a, b) => a - b);
  return [0, ...at].map((from, i) => text.slice(from, at[i] ?? text.length));
}

/** Bytes that the decoder accounts for: must be all of them once the stream has ended. */
export function accounted(decoder: WitsDecoder): number {
  const refused = Object.values(decoder.refusedBytes).reduce((sum, bytes) => sum + bytes, 0);
  return decoder.framed + decoder.separators + refused;
}
