/**
 * Everything the page knows, as signals. Written by `live/applyMessages.ts` alone, at most once per animation frame;
 * read by the panels. Trace rows never enter a signal: they go straight to whoever listens.
 */
import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { EventState, IngestState, JointState, JournalLine, Now, TraceRow } from '../src/live/messages.ts';
import { compileJob, type Job } from '../src/plan/job.ts';
import type { Plan } from '../src/plan/planSchema.ts';
import type { Step } from '../src/steps.ts';
import { themeChoice, unitSystem } from './preferences.ts';

export { themeChoice, unitSystem };

/** The page's link to the service. `lost` holds when it was lost, by this page's own running clock, ms. */
export type PageLink =
  | { readonly kind: 'connecting' }
  | { readonly kind: 'open' }
  | { readonly kind: 'lost'; readonly sinceMs: number; readonly attempt: number };
export const pageLink: Signal<PageLink> = signal<PageLink>({ kind: 'connecting' });

/** How old what is shown is, in rig seconds. */
export type Freshness =
  | { readonly kind: 'nothing yet' }
  | { readonly kind: 'fresh'; readonly ageS: number }
  | { readonly kind: 'stale'; readonly ageS: number }
  | { readonly kind: 'link lost'; readonly ageS: number };
export const freshness: Signal<Freshness> = signal<Freshness>({ kind: 'nothing yet' });

/** Rig seconds per second of ours, and the service's clock: serverMs = performance.now() + offsetMs. */
export const clock = signal<{ readonly rate: number; readonly offsetMs: number }>({ rate: 1, offsetMs: 0 });

export const runName = signal<string | null>(null);
export const plan: Signal<Plan | null> = signal<Plan | null>(null);
export const job: ReadonlySignal<Job | null> = computed(() => (plan.value ? compileJob(plan.value) : null));

export const now: Signal<Now | null> = signal<Now | null>(null);

/** One signal a joint, by its index in the plan, so that a row is drawn again only when that joint changed. */
export const joints: Signal<readonly Signal<JointState | null>[]> = signal<readonly Signal<JointState | null>[]>([]);
/** Newest first; closed ones are kept up to a limit. */
export const events: Signal<readonly EventState[]> = signal<readonly EventState[]>([]);
/** What the service does not work out on this run, and why. */
export const notWorkedOut: Signal<readonly string[]> = signal<readonly string[]>([]);
export const steps: Signal<readonly Step[]> = signal<readonly Step[]>([]);
export const ingest: Signal<IngestState | null> = signal<IngestState | null>(null);
/** What people did, as far as the service told it, oldest first; the newest, whatever instant is looked at. */
export const journalLines: Signal<readonly JournalLine[]> = signal<readonly JournalLine[]>([]);
/** How many entries before those, and how many notes among them, the service left out for their size. */
export const journalLeftOut: Signal<{ readonly entries: number; readonly notes: number }> = signal({
  entries: 0,
  notes: 0,
});
/** Messages of the service that did not pass the schema: counted, shown, never used. */
export const refusedMessages = signal(0);

/** The joint that the viewer singled out, by index; null follows the tool. */
export const selectedJoint = signal<number | null>(null);

const prefersDark = signal(false);
if (typeof matchMedia === 'function') {
  const query = matchMedia('(prefers-color-scheme: dark)');
  prefersDark.value = query.matches;
  query.addEventListener('change', (change) => {
    prefersDark.value = change.matches;
  });
}
export const theme: ReadonlySignal<'light' | 'dark'> = computed(() => {
  if (themeChoice.value !== 'system') return themeChoice.value;
  return prefersDark.value ? 'dark' : 'light';
});

/** Those who are given every new trace row, in order, as it arrives. */
export const rowListeners: Set<(rows: TraceRow[]) => void> = new Set();
export function onRows(listener: (rows: TraceRow[]) => void): () => void {
  rowListeners.add(listener);
  return () => {
    rowListeners.delete(listener);
  };
}
