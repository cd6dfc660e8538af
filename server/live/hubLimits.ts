/** The limits of the hub and what it refuses. */
import { LIVE_LIMITS } from '../../src/live/messages.ts';
import { COALESCE_MS } from './coalesce.ts';

/** Time and size limits of the hub; a test may shorten them. */
export const HUB_LIMITS = {
  pages: LIVE_LIMITS.pages as number,
  messageBytes: LIVE_LIMITS.pageMessageBytes as number,
  /** Pieces that one message may come in. */
  fragments: 16,
  deltasKept: LIVE_LIMITS.deltasKept as number,
  slowAboveBytes: LIVE_LIMITS.slowAboveBytes as number,
  caughtUpBelowBytes: LIVE_LIMITS.caughtUpBelowBytes as number,
  coalesceMs: COALESCE_MS,
  /** Between two pings, and without a sign of life before a page is dropped. */
  pingMs: 5_000,
  deadAfterMs: 20_000,
  /** From the handshake to the hello. */
  helloMs: 10_000,
  /** Between two looks at slow pages while nothing else happens. */
  slowLookMs: 100,
  /** Turns in which all pages are pinged once, so that a thousand pings do not go out at one moment. */
  pingTurns: 10,
  /** For the page to answer our closing of the socket. */
  closeMs: 3_000,
  /** A snapshot is shared by pages that come within this time. */
  snapshotSharedMs: 100,
  /** Between two sendings of the shared position; a place that is played moves on by itself meanwhile. */
  sharedEveryMs: 100,
  /** A place that nobody is at any more is kept for so long, for who led to come back to. */
  sharedKeptMs: 60_000,
};
export type HubLimits = typeof HUB_LIMITS;

/** Why a page or one of its messages was refused or dropped. */
export const REFUSALS = [
  'foreign origin',
  'too many pages',
  'oversize message',
  'bad message',
  'too many messages',
  'no hello',
  'protocol error',
  'no sign of life',
] as const;
export type Refusal = (typeof REFUSALS)[number];
