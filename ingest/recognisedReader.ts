/**
 * A reader for a stream whose format shows only in its first bytes (standard input): they are held back until they can be
 * told, or until there are enough of them.
 */
import { RECOGNISE_BYTES, recognise, type StreamFormat } from './recognise.ts';
import type { ReaderCounts, StreamReader } from './streamReader.ts';

/** Looked at when so many bytes are there, then each time that they have doubled: small pieces cost no more than large ones. */
const FIRST_TRY_BYTES = 128;

const NOTHING: ReaderCounts = { bytes: 0, frames: 0, samples: 0, rejected: {}, unknownCodes: new Map() };

class RecognisedReader implements StreamReader {
  private readonly make: (format: StreamFormat) => StreamReader;
  private reader: StreamReader | null = null;
  private pieces: Uint8Array[] = [];
  private held = 0;
  private nextTry = FIRST_TRY_BYTES;
  private arrivalMs = Number.NaN;

  constructor(make: (format: StreamFormat) => StreamReader) {
    this.make = make;
  }

  push(bytes: Uint8Array, arrivalMs: number): void {
    this.arrivalMs = arrivalMs;
    if (this.reader !== null) {
      this.reader.push(bytes, arrivalMs);
      return;
    }
    this.pieces.push(Uint8Array.from(bytes));
    this.held += bytes.length;
    if (this.held < this.nextTry) return;
    const format = recognise(this.head());
    if (format !== null || this.held >= RECOGNISE_BYTES) this.begin(format);
    else this.nextTry = Math.min(RECOGNISE_BYTES, 2 * this.held);
  }

  end(): void {
    if (this.reader === null) this.begin(recognise(this.head()));
    this.reader!.end();
  }

  get counts(): ReaderCounts {
    return this.reader?.counts ?? { ...NOTHING, bytes: this.held };
  }
  get refusal(): string | null {
    return this.reader?.refusal ?? null;
  }
  get notes(): readonly string[] {
    return this.reader?.notes ?? [];
  }

  private head(): Uint8Array {
    return Buffer.concat(this.pieces, this.held);
  }

  /** What is none that we know is read as WITS, whose reader counts noise. */
  private begin(format: StreamFormat | null): void {
    this.reader = this.make(format ?? 'wits0');
    this.reader.push(this.head(), this.arrivalMs);
    this.pieces = [];
  }
}

/** @param make called once, with the format. */
export function createRecognisedReader(make: (format: StreamFormat) => StreamReader): StreamReader {
  return new RecognisedReader(make);
}
