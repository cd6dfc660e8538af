/** How long to wait before the next try at the service: doubled each time, spread so that pages do not come at once. */

export const BACK_OFF = { firstMs: 500, mostMs: 10_000, spread: 0.3 } as const;

/**
 * @param attempt 1 for the first try after a loss
 * @param chance from 0 to 1
 */
export function backOffMs(attempt: number, chance: number): number {
  const full = Math.min(BACK_OFF.mostMs, BACK_OFF.firstMs * 2 ** Math.min(attempt - 1, 16));
  return full * (1 - BACK_OFF.spread * chance);
}
