/** Which paper is looked at, and what the service says of the run, asked for anew when something was entered. */
import { type ReadonlySignal, signal, useSignal, useSignalEffect } from '@preact/signals';
import type { z } from 'zod/mini';
import { askLibrary, saysOf } from '../library/askLibrary.ts';
import { journalLines, plan } from '../state.ts';
import { type PapersAt, papersAt, papersHash } from './papersAddress.ts';

export function choose(at: PapersAt): void {
  const { part, of } = papersAt.peek();
  if (part === at.part && of === at.of) return;
  papersAt.value = at;
  history.pushState(null, '', papersHash(at));
}

export type Told<T> =
  | { readonly kind: 'asking' }
  | { readonly kind: 'failed'; readonly why: string }
  | { readonly kind: 'here'; readonly what: T };

/** Counts what changed by this page's own doing, where no live link tells of it. */
const changes = signal(0);
export function askAnew(): void {
  changes.value += 1;
}

/** What a paper depends on besides the readings: entries, the plan, and what was done here. */
export function listenToChanges(): void {
  journalLines.value.length;
  plan.value;
  changes.value;
}

/**
 * @param what where it is told, as `apiOf` has it; called within an effect: signals in it count. What was told before stays
 * until the next is there; the last question alone is answered. @returns what is told, and what asks anew
 */
export function useAsked<T>(
  schema: z.ZodMiniType<T>,
  what: () => string,
): readonly [ReadonlySignal<Told<T>>, () => void] {
  const told = useSignal<Told<T>>({ kind: 'asking' });
  const times = useSignal(0);
  useSignalEffect(() => {
    times.value;
    let isMine = true;
    askLibrary(schema, what()).then(
      (answer) => {
        if (isMine) told.value = { kind: 'here', what: answer };
      },
      (fault: unknown) => {
        if (isMine) told.value = { kind: 'failed', why: saysOf(fault) };
      },
    );
    return () => {
      isMine = false;
    };
  });
  const again = (): void => {
    times.value += 1;
  };
  return [told, again];
}

/** The same of the run that is looked at, asked anew when something changed. */
export function useTold<T>(schema: z.ZodMiniType<T>, what: () => string): ReadonlySignal<Told<T>> {
  return useAsked(schema, () => {
    listenToChanges();
    return what();
  })[0];
}
