/** What is looked at: the newest end of the run, or another instant of it. Written by `replayer.ts` alone. */
import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { Overview } from '../../src/replay/overview.ts';
import { recorded } from '../recorded.ts';
import type { Knowing } from '../worker/replayProtocol.ts';

/**
 *   live ──seek──▶ replay ──"back to live"──▶ live
 *
 * In `replay` the panels show the instant `atMs`; live messages go on in the background.
 */
export type Looking =
  | { readonly kind: 'live' }
  | { readonly kind: 'replay'; readonly atMs: number; readonly knowing: Knowing };
export const looking: Signal<Looking> = signal<Looking>({ kind: 'live' });

/** The time bar, and whether it has what it shows. */
export type Bar =
  | { readonly kind: 'closed' }
  | { readonly kind: 'loading' }
  | { readonly kind: 'open' }
  | { readonly kind: 'failed'; readonly why: string };
export const bar: Signal<Bar> = signal<Bar>({ kind: 'closed' });
export const overview: Signal<Overview | null> = signal<Overview | null>(null);

export const SPEEDS = [1, 10, 60, 300, 1000] as const;
export type Speed = (typeof SPEEDS)[number];
export const speed: Signal<Speed> = signal<Speed>(60);
export const playing = signal(false);

export const JUMPS = ['event', 'joint', 'phase'] as const;
export type Jump = (typeof JUMPS)[number];
export const jumpTo: Signal<Jump> = signal<Jump>('event');

/** What is shown is not what is now: another instant of the live run, or a recorded run. */
export const isReplay: ReadonlySignal<boolean> = computed(
  () => looking.value.kind === 'replay' || recorded.value !== null,
);
/** The instant that stands under the playhead; the newest one while live. */
export const shownMs: ReadonlySignal<number | null> = computed(() =>
  looking.value.kind === 'replay' ? looking.value.atMs : (overview.value?.toMs ?? null),
);
