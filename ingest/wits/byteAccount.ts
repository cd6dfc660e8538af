/** Where every byte of a stream went: bytes = framed + separators + refused + what the decoder still keeps. */
import { noRefusals, type RefusalReason } from './refusals.ts';

export class ByteAccount {
  bytes = 0;
  /** Bytes of the packets that were passed on. */
  framed = 0;
  /** Blanks and line ends between packets. */
  separators = 0;
  packets = 0;
  /** How often, and how many bytes, by reason; only reasons of the decoder are ever more than 0. */
  readonly counts: Record<RefusalReason, number> = noRefusals();
  readonly refusedBytes: Record<RefusalReason, number> = noRefusals();
  /** Bytes of refused lines within the packet that is open. */
  private refusedInPacket = 0;

  protected packetOpens(): void {
    this.refusedInPacket = 0;
  }

  protected bytesOutside(bytes: number, blanks: number): void {
    this.separators += blanks;
    this.counts.noise += bytes - blanks;
    this.refusedBytes.noise += bytes - blanks;
  }

  /** What still comes of a packet that was given up. */
  protected bytesOfLost(bytes: number): void {
    this.refusedBytes['packet too long'] += bytes;
  }

  protected lineRefused(reason: 'malformed line' | 'line too long' | 'cut line', bytes: number): void {
    this.counts[reason]++;
    this.refusedBytes[reason] += bytes;
    this.refusedInPacket += bytes;
  }

  protected packetRefused(reason: 'packet too long' | 'empty packet', bytes: number): void {
    this.counts[reason]++;
    this.refusedBytes[reason] += bytes - this.refusedInPacket;
  }

  protected packetTaken(bytes: number, whole: boolean): void {
    if (!whole) this.counts['no trailer']++;
    this.framed += bytes - this.refusedInPacket;
    this.packets++;
  }
}
