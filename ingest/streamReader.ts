/** What every recorded or live format offers: bytes in, samples out, everything counted. */

/** An item code that feeds no channel: how often it came and the raw text of the last time. */
export interface UnknownCode {
  readonly count: number;
  readonly last: string;
}

export interface ReaderCounts {
  readonly bytes: number;
  /** Frames that were decoded, used or not. */
  readonly frames: number;
  readonly samples: number;
  /** What was refused, by reason; only reasons that occurred. */
  readonly rejected: Record<string, number>;
  /** Bounded; a code that is all digits is kept as its number. */
  readonly unknownCodes: Map<number | string, UnknownCode>;
}

export interface StreamReader {
  /** @param arrivalMs when the bytes reached us, ms since 1970 UTC; NaN for a recorded stream. */
  push(bytes: Uint8Array, arrivalMs: number): void;
  /** No more bytes will come: gives what was held back for a confirmation, as far as it is plausible. */
  end(): void;
  /** Worked out when asked for: ask a few times a second, not once a frame. */
  readonly counts: ReaderCounts;
  /** One line, place, found and expected: why a recorded stream could not be read, or not beyond that place; null while it can. */
  readonly refusal?: string | null;
  /** What a person should know of how a recorded stream was read: assumed units, the log chosen of several. Bounded. */
  readonly notes?: readonly string[];
}
