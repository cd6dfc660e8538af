/** What a source delivered and the runner has not taken yet: first in, first out, bounded in bytes. */

export interface Chunk {
  readonly bytes: Uint8Array;
  readonly arrivalMs: number;
}

/** Half an hour of a 10 Hz feed of 40 items; the runner is normally less than a millisecond behind. */
export const QUEUE_LIMIT_BYTES = 8 * 1024 * 1024;

export class ChunkQueue {
  readonly #limitBytes: number;
  readonly #chunks: Chunk[] = [];
  #head = 0;
  #bytes = 0;
  /** Bytes that found the queue full. */
  refusedBytes = 0;

  constructor(limitBytes = QUEUE_LIMIT_BYTES) {
    this.#limitBytes = limitBytes;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** More than half full: a source that can wait should. */
  get isFilling(): boolean {
    return this.#bytes > this.#limitBytes / 2;
  }

  /** False when full: the chunk is refused and counted. */
  push(bytes: Uint8Array, arrivalMs: number): boolean {
    if (this.#bytes + bytes.length > this.#limitBytes && this.#bytes > 0) {
      this.refusedBytes += bytes.length;
      return false;
    }
    this.#chunks.push({ bytes, arrivalMs });
    this.#bytes += bytes.length;
    return true;
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
