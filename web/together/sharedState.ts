/** The position that several people share, as this page knows it, and how it stands to it. Written by `sharedLink.ts` alone. */
import { type Signal, signal } from '@preact/signals';
import type { SharedMessage, SharedPlace } from '../../src/live/messages.ts';

/**
 *   undecided ──F, or a run that has ended──▶ following ◀──F──▶ alone
 *       └──H──▶ leading ◀──H── (any)            ▲ └── a move of one's own ──▶ alone
 *                  └── another takes the lead ──┘
 *
 * While the tool runs nobody's screen is moved without their word: `undecided` stays where it is.
 */
export type Stance = 'undecided' | 'alone' | 'following' | 'leading';
export const stance: Signal<Stance> = signal<Stance>('undecided');
export const shared: Signal<SharedMessage | null> = signal<SharedMessage | null>(null);

let offsetMs = 0;
export function knowOffset(ms: number): void {
  offsetMs = ms;
}

/** The instant of a shared place now, ms; null for the newest end. */
export function instantOf({ sinceMs, at }: { readonly sinceMs: number; readonly at: SharedPlace }): number | null {
  if (at.kind === 'live') return null;
  const passedMs = Math.max(0, performance.now() + offsetMs - sinceMs);
  return at.playing ? at.atMs + passedMs * at.speed : at.atMs;
}
