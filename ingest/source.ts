/** Where bytes come from. A source only reads; the one exception is polling, which is off unless the user turns it on. */

/**
 *  connecting ─> connected ─> lost ─> connecting ...        (client)
 *  listening ──> connected ─> lost ─> listening ...         (listener)
 *                connected ─> ended                         (file, standard input; any source that is closed)
 */
export type LinkState = 'connecting' | 'listening' | 'connected' | 'lost' | 'ended';

export interface SourceHandlers {
  /**
   * @param arrivalMs ms since 1970 UTC by our clock; NaN for a recorded stream. The chunk is not kept or reused.
   * @returns a promise when the taker has enough for now: a source that can wait does, a rig's socket cannot.
   */
  bytes(chunk: Uint8Array, arrivalMs: number): void | Promise<void>;
  /** @param detail one line for a person. */
  link(state: LinkState, detail: string): void;
}

export interface Source {
  readonly name: string;
  /** Resolves when the source is at work, which for a client does not mean connected. @throws Fault (as a rejection). */
  open(handlers: SourceHandlers): Promise<void>;
  /** No handler is called after the `ended` that this gives. May be called more than once. */
  close(): Promise<void>;
}
