/** Entries into the journal, one at a time and in the order in which they came. */
export class EntryQueue {
  readonly #free: () => void;
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;

  /** @param free called whenever one is done with, entered or refused */
  constructor(free: () => void) {
    this.#free = free;
  }

  get isBusy(): boolean {
    return this.#waiting > 0;
  }

  /** Resolves when those that wait are done with. */
  async rest(): Promise<void> {
    while (this.isBusy) await this.#last;
  }

  add<Outcome>(work: () => Promise<Outcome>): Promise<Outcome> {
    this.#waiting += 1;
    const outcome = this.#last.then(work);
    const done = () => {
      this.#waiting -= 1;
      this.#free();
    };
    this.#last = outcome.then(done, done);
    return outcome;
  }
}
