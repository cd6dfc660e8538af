/** First change at once, then at most one in every `everyMs`; the last change is never lost. */
import type { Clock } from '../../ingest/clock.ts';

/** Common practice: 25 pictures a second look continuous. */
export const COALESCE_MS = 40;

export class Coalescer {
  readonly #clock: Clock;
  readonly #everyMs: number;
  readonly #send: () => void;
  #state: { kind: 'ready' } | { kind: 'resting'; changed: boolean; cancel: () => void } = { kind: 'ready' };

  constructor(clock: Clock, send: () => void, everyMs = COALESCE_MS) {
    this.#clock = clock;
    this.#send = send;
    this.#everyMs = everyMs;
  }

  changed(): void {
    if (this.#state.kind === 'resting') this.#state.changed = true;
    else this.#sendNow();
  }

  stop(): void {
    if (this.#state.kind === 'resting') this.#state.cancel();
    this.#state = { kind: 'ready' };
  }

  #sendNow(): void {
    const resting = { kind: 'resting' as const, changed: false, cancel: () => {} };
    this.#state = resting;
    resting.cancel = this.#clock.after(this.#everyMs, () => {
      if (this.#state !== resting) return;
      this.#state = { kind: 'ready' };
      if (resting.changed) this.#sendNow();
    });
    this.#send();
  }
}
