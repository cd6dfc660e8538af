/**
 * What a source delivered and the runner has not taken yet: first in, first out, bounded in bytes. The bytes are copied
 * into one array that is made once: buffers of the source that wait in a burst would grow old, and an engine that seldom
 * looks at old objects would let tens of MB of them gather.
 */

import type { Ticket } from '../recording/ticket.ts';

export interface Chunk {
  /** Holds until the next `push`. */
  readonly bytes: Uint8Array;
  readonly arrivalMs: number;
  /** What becomes of it on the disk; undefined: nothing is recorded. */
  readonly ticket: Ticket | undefined;
}

/** Half an hour of a 10 Hz feed of 40 items; the runner is normally less than a millisecond behind. */
export const QUEUE_LIMIT_BYTES = 8 * 1024 * 1024;

export class ChunkQueue {
  readonly #limitBytes: number;
  /** The system gives memory to those of its pages that a backlog has reached. */
  readonly #held: Uint8Array;
  readonly #chunks: Chunk[] = [];
  #head = 0;
  #bytes = 0;
  /** Where the next bytes go. */
  #end = 0;
  /** Bytes that found the queue full. */
  refusedBytes = 0;

  constructor(limitBytes = QUEUE_LIMIT_BYTES) {
    this.#limitBytes = limitBytes;
    this.#held = new Uint8Array(limitBytes);
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** More than half full: a source that can wait should. */
  get isFilling(): boolean {
    return this.#bytes > this.#limitBytes / 2;
  }

  /** False when full: the chunk is refused and counted. One that comes alone is taken whatever its length. */
  push(bytes: Uint8Array, arrivalMs: number, ticket?: Ticket): boolean {
    if (this.#bytes + bytes.length > this.#limitBytes && this.#bytes > 0) {
      this.refusedBytes += bytes.length;
      return false;
    }
    if (this.#bytes === 0) this.#end = 0;
    this.#bytes += bytes.length;
    if (bytes.length > this.#limitBytes) {
      this.#chunks.push({ bytes: bytes.slice(), arrivalMs, ticket });
      return true;
    }
    const fits = Math.min(bytes.length, this.#limitBytes - this.#end);
    this.#copy(fits === bytes.length ? bytes : bytes.subarray(0, fits), arrivalMs, ticket);
    if (fits < bytes.length) this.#copy(bytes.subarray(fits), arrivalMs, ticket);
    return true;
  }

  #copy(bytes: Uint8Array, arrivalMs: number, ticket: Ticket | undefined): void {
    if (this.#end === this.#limitBytes) this.#end = 0;
    this.#held.set(bytes, this.#end);
    this.#chunks.push({ bytes: this.#held.subarray(this.#end, this.#end + bytes.length), arrivalMs, ticket });
    this.#end += bytes.length;
  }

  /** The next one, which stays. */
  peek(): Chunk | undefined {
    return this.#chunks[this.#head];
  }

  shift(): Chunk | undefined {
    const chunk = this.#chunks[this.#head];
    if (!chunk) return undefined;
    this.#head++;
    this.#bytes -= chunk.bytes.length;
    if (this.#head === this.#chunks.length) {
      this.#chunks.length = 0;
      this.#head = 0;
    } else if (this.#head >= 1024) {
      this.#chunks.splice(0, this.#head);
      this.#head = 0;
    }
    return chunk;
  }
}
