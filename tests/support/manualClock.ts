/** A clock that stands until the test moves it. */
import type { Clock } from '../../ingest/clock.ts';

export class ManualClock implements Clock {
  #nowMs: number;
  #waiting: { atMs: number; run: () => void }[] = [];

  constructor(nowMs = Date.UTC(2031, 2, 4)) {
    this.#nowMs = nowMs;
  }

  nowMs(): number {
    return this.#nowMs;
  }

  after(ms: number, run: () => void): () => void {
    const entry = { atMs: this.#nowMs + ms, run };
    this.#waiting.push(entry);
    return () => {
      this.#waiting = this.#waiting.filter((other) => other !== entry);
    };
  }

  /** Moves on, and runs what falls due in its order. */
  advance(ms: number): void {
    const untilMs = this.#nowMs + ms;
    for (;;) {
      const due = this.#waiting.filter((entry) => entry.atMs <= untilMs).sort((a, b) => a.atMs - b.atMs)[0];
      if (!due) break;
      this.#waiting = this.#waiting.filter((entry) => entry !== due);
      this.#nowMs = Math.max(this.#nowMs, due.atMs);
      due.run();
    }
    this.#nowMs = untilMs;
  }
}
