/** How often a page may speak: a bucket of tokens, one a message, that fills with time. */

/** A page says hello once and again after a hole; ten in a row is already a fault. */
export const MESSAGE_BUDGET = { atOnce: 10, perSecond: 1 } as const;

export class MessageBudget {
  #tokens: number = MESSAGE_BUDGET.atOnce;
  #atMs: number;

  constructor(nowMs: number) {
    this.#atMs = nowMs;
  }

  /** False when the page has spoken too often. */
  take(nowMs: number): boolean {
    const earned = (Math.max(0, nowMs - this.#atMs) / 1000) * MESSAGE_BUDGET.perSecond;
    this.#tokens = Math.min(MESSAGE_BUDGET.atOnce, this.#tokens + earned);
    this.#atMs = nowMs;
    if (this.#tokens < 1) return false;
    this.#tokens -= 1;
    return true;
  }
}
