/** How old what is shown is, and whether it may still be taken for now. */
import type { Freshness, PageLink } from '../state.ts';

/**
 * In a run played faster than life the plan's gap passes in a blink: twenty times as fast, five seconds are a quarter
 * of one. No sooner than this, in our own time, is data called stale; a live run is not touched by it.
 */
export const STALE_NOT_BEFORE_MS = 1000;

/**
 * @param arrivalMs when the newest sample came in, by the service's clock; null when there is none
 * @param serverNowMs the service's clock now
 * @param rate rig seconds that pass in one of ours
 * @param gapAfterMs of the plan, rig time
 */
export function freshnessOf(
  arrivalMs: number | null,
  serverNowMs: number,
  rate: number,
  gapAfterMs: number,
  link: PageLink['kind'],
): Freshness {
  if (arrivalMs === null) return { kind: 'nothing yet' };
  const passedMs = Math.max(0, serverNowMs - arrivalMs);
  const ageS = (passedMs * rate) / 1000;
  if (link === 'lost') return { kind: 'link lost', ageS };
  const stale = passedMs * rate > gapAfterMs && passedMs > STALE_NOT_BEFORE_MS;
  return { kind: stale ? 'stale' : 'fresh', ageS };
}
