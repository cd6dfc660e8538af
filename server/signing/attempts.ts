/**
 * How often somebody may try: a few times at once, then after a delay that doubles with each secret that was wrong, up to a
 * few minutes. Held for each person and, together, for all names that nobody has, so that it cannot grow.
 */

export const ATTEMPT_LIMITS = {
  /** Wrong ones without a delay. */
  free: 3,
  firstMs: 2_000,
  mostMs: 5 * 60_000,
} as const;

interface Tries {
  wrong: number;
  lastMs: number;
}

export class Attempts {
  readonly #nowMs: () => number;
  readonly #tries = new Map<string, Tries>();

  /** @param nowMs of a clock that may be set: a delay is never longer than its whole */
  constructor(nowMs: () => number) {
    this.#nowMs = nowMs;
  }

  /** How long still until the next try is looked at, ms; 0: now. */
  waitMs(who: string): number {
    const tries = this.#tries.get(who);
    if (!tries || tries.wrong < ATTEMPT_LIMITS.free) return 0;
    const { free, firstMs, mostMs } = ATTEMPT_LIMITS;
    const delayMs = Math.min(mostMs, firstMs * 2 ** Math.min(30, tries.wrong - free));
    return Math.min(delayMs, Math.max(0, tries.lastMs + delayMs - this.#nowMs()));
  }

  wrong(who: string): void {
    this.#tries.set(who, { wrong: (this.#tries.get(who)?.wrong ?? 0) + 1, lastMs: this.#nowMs() });
  }

  right(who: string): void {
    this.#tries.delete(who);
  }
}
