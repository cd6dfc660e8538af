/** How often a page may speak: a bucket of tokens, one a message, that fills with time. */

/** A page says hello once and again after a hole; ten in a row is already a fault. */
export const MESSAGE_BUDGET = { atOnce: 10, perSecond: 1 } as const;

/** Who leads says where to a few times a second while the time bar is dragged. */
export const LEAD_BUDGET = { atOnce: 30, perSecond: 8 } as const;

export class MessageBudget {
  readonly #of: { readonly atOnce: number; readonly perSecond: number };
  #tokens: number;
  #atMs: number;

  constructor(nowMs: number, of: { readonly atOnce: number; readonly perSecond: number } = MESSAGE_BUDGET) {
    this.#of = of;
    this.#tokens = of.atOnce;
    this.#atMs = nowMs;
  }

  /** False when the page has spoken too often. */
  take(nowMs: number): boolean {
    const earned = (Math.max(0, nowMs - this.#atMs) / 1000) * this.#of.perSecond;
    this.#tokens = Math.min(this.#of.atOnce, this.#tokens + earned);
    this.#atMs = nowMs;
    if (this.#tokens < 1) return false;
    this.#tokens -= 1;
    return true;
  }
}
