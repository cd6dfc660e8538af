/** The latest deltas, ready to send, for pages that lost the link and come back. */
import { LIVE_LIMITS } from '../../src/live/messages.ts';

/** Bytes that the kept deltas may take together. */
export const RING_LIMIT_BYTES = 16 * 1024 * 1024;

export class DeltaRing {
  readonly #limitCount: number;
  readonly #limitBytes: number;
  readonly #messages: Buffer[] = [];
  #head = 0;
  #bytes = 0;
  /** Number of the newest delta; 0 before the first. */
  #last = 0;

  constructor(limitCount: number = LIVE_LIMITS.deltasKept, limitBytes = RING_LIMIT_BYTES) {
    this.#limitCount = limitCount;
    this.#limitBytes = limitBytes;
  }

  get last(): number {
    return this.#last;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** The next number belongs to this message. */
  push(message: Buffer): void {
    this.#messages.push(message);
    this.#bytes += message.length;
    this.#last++;
    while (this.#messages.length - this.#head > this.#limitCount || this.#bytes > this.#limitBytes) {
      this.#bytes -= this.#messages[this.#head]!.length;
      this.#head++;
    }
    if (this.#head >= 1024 && this.#head * 2 >= this.#messages.length) {
      this.#messages.splice(0, this.#head);
      this.#head = 0;
    }
  }

  /** Something happened that no delta tells: it takes a number, and nothing before it can be caught up from. */
  skip(): void {
    this.#messages.length = 0;
    this.#head = 0;
    this.#bytes = 0;
    this.#last++;
  }

  /** All deltas after `seq`, oldest first; null when some of them are gone or `seq` was never given out. */
  after(seq: number): readonly Buffer[] | null {
    const held = this.#messages.length - this.#head;
    const missed = this.#last - seq;
    if (missed < 0 || missed > held) return null;
    return this.#messages.slice(this.#messages.length - missed);
  }
}
