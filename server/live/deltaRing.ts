/**
 * The latest deltas, ready to send, for pages that lost the link and come back. Their bytes lie one after another in one
 * array, which is made once: kept as they are, thousands of small buffers would grow old, and an engine that seldom looks
 * at old objects would let tens of MB of them gather.
 */
import { LIVE_LIMITS } from '../../src/live/messages.ts';

/** Bytes that the kept deltas may take together: a page that missed more is sent a snapshot anyway. */
export const RING_LIMIT_BYTES = LIVE_LIMITS.slowAboveBytes;

export class DeltaRing {
  readonly #bytesHeld: Buffer;
  /** Of delta n, at n modulo their length: where it begins, and how long it is. */
  readonly #starts: Uint32Array;
  readonly #lengths: Uint32Array;
  #count = 0;
  #bytes = 0;
  /** Where the next one begins. */
  #end = 0;
  /** Number of the newest delta; 0 before the first. */
  #last = 0;

  constructor(limitCount: number = LIVE_LIMITS.deltasKept, limitBytes: number = RING_LIMIT_BYTES) {
    this.#bytesHeld = Buffer.alloc(limitBytes, 0);
    this.#starts = new Uint32Array(limitCount);
    this.#lengths = new Uint32Array(limitCount);
  }

  get last(): number {
    return this.#last;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** The next number belongs to this message. */
  push(message: Buffer): void {
    if (message.length > this.#bytesHeld.length || this.#starts.length === 0) {
      this.skip();
      return;
    }
    while (this.#count === this.#starts.length || this.#bytes + message.length > this.#bytesHeld.length) {
      this.#bytes -= this.#lengths[(this.#last - this.#count + 1) % this.#lengths.length]!;
      this.#count--;
    }
    this.#last++;
    const at = this.#last % this.#starts.length;
    this.#starts[at] = this.#end;
    this.#lengths[at] = message.length;
    const fits = message.copy(this.#bytesHeld, this.#end);
    message.copy(this.#bytesHeld, 0, fits);
    this.#end = (this.#end + message.length) % this.#bytesHeld.length;
    this.#bytes += message.length;
    this.#count++;
  }

  /** Something happened that no delta tells: it takes a number, and nothing before it can be caught up from. */
  skip(): void {
    this.#count = 0;
    this.#bytes = 0;
    this.#last++;
  }

  /** Copies of all deltas after `seq`, oldest first; null when some of them are gone or `seq` was never given out. */
  after(seq: number): readonly Buffer[] | null {
    const missed = this.#last - seq;
    if (missed < 0 || missed > this.#count) return null;
    return Array.from({ length: missed }, (_, i) => this.#copy(seq + 1 + i));
  }

  #copy(number: number): Buffer {
    const start = this.#starts[number % this.#starts.length]!;
    const length = this.#lengths[number % this.#lengths.length]!;
    const message = Buffer.alloc(length);
    const held = this.#bytesHeld.copy(message, 0, start, Math.min(start + length, this.#bytesHeld.length));
    this.#bytesHeld.copy(message, held, 0, length - held);
    return message;
  }
}
