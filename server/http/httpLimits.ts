/** Every limit of the HTTP side; a test may shorten the times. */
import { LIVE_LIMITS } from '../../src/live/messages.ts';

export const HTTP_LIMITS = {
  /** The whole of a request, and its headers alone, ms. */
  requestMs: 10_000,
  headersMs: 8_000,
  /** How often both are looked at. */
  lookMs: 2_000,
  /** A connection on which nothing moves, and one that waits for its next request, ms. */
  idleMs: 30_000,
  keepAliveMs: 15_000,
  headerBytes: 8 * 1024,
  /** Only routes that say so take a longer body. */
  bodyBytes: 1024,
  /** Of one part of a path, as it is written: what a name may be is judged by its route. */
  paramLength: 2048,
  /** Pages and their requests. */
  connections: LIVE_LIMITS.pages + 500,
};
export type HttpLimits = typeof HTTP_LIMITS;
