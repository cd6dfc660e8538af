/**
 * One source for runs that follow one another: it is opened once and stays open, and what it gives goes to the run that was
 * attached last. Attaching is one step: no chunk goes to both runs, or to neither. Between two runs the bytes go nowhere.
 */
import type { LinkState, Source, SourceHandlers } from '../../ingest/source.ts';

export class SourceRelay {
  readonly #source: Source;
  #taker: SourceHandlers | null = null;
  #opened: Promise<void> | undefined;
  #link: { readonly state: LinkState; readonly detail: string } | undefined;
  #bytesUntaken = 0;

  constructor(source: Source) {
    this.#source = source;
  }

  /** Bytes that came while no run took any. */
  get bytesUntaken(): number {
    return this.#bytesUntaken;
  }

  /** The source as one run sees it: closing it leaves the real one open. */
  tap(): Source {
    let mine: SourceHandlers | null = null;
    return {
      name: this.#source.name,
      open: async (handlers) => {
        mine = handlers;
        this.#taker = handlers;
        if (this.#opened && this.#link) handlers.link(this.#link.state, this.#link.detail);
        this.#opened ??= this.#source.open({
          bytes: (chunk, arrivalMs) => this.#bytes(chunk, arrivalMs),
          link: (state, detail) => {
            this.#link = { state, detail };
            this.#taker?.link(state, detail);
          },
        });
        await this.#opened;
      },
      close: async () => {
        if (mine && this.#taker === mine) this.#taker = null;
      },
    };
  }

  #bytes(chunk: Uint8Array, arrivalMs: number): void | Promise<void> {
    if (this.#taker) return this.#taker.bytes(chunk, arrivalMs);
    this.#bytesUntaken += chunk.length;
  }

  async close(): Promise<void> {
    this.#taker = null;
    await this.#source.close();
  }
}
