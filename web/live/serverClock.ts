/**
 * The service's clock seen from here. Each message says when it was sent; it can only arrive later, so the largest
 * difference to our own running clock of the last messages is nearest the truth. Wrong by the shortest way across the
 * link, which makes an age too small by as much: milliseconds on a rig's own network.
 */

/** Messages that are looked back on, so that a clock that was set is followed. */
export const CLOCK_WINDOW = 64;

export class ServerClock {
  readonly #offsets: number[] = [];
  #next = 0;

  /** @returns the offset, ms: service's clock = our clock + offset. */
  heard(serverMs: number, ourMs: number): number {
    this.#offsets[this.#next % CLOCK_WINDOW] = serverMs - ourMs;
    this.#next++;
    let most = -Infinity;
    for (const offset of this.#offsets) if (offset > most) most = offset;
    return most;
  }

  forget(): void {
    this.#offsets.length = 0;
    this.#next = 0;
  }
}
