/** The question that is being put together, whether it is one that is kept, and the last answer. */
import { effect, type Signal, signal } from '@preact/signals';
import { emptyScenario, type Scenario, scenarioFromText, scenarioToText } from '../../src/replay/scenario.ts';
import { recorded, runHash } from '../recorded.ts';
import { askDesk } from '../replay/replayer.ts';
import { runName } from '../state.ts';
import type { WhatIfAnswer } from '../worker/replayProtocol.ts';
import { WHAT_IF_HASH, whatIfIn } from './whatIfHash.ts';

export const draft: Signal<Scenario> = signal<Scenario>(emptyScenario('What if'));
/** Id of the kept scenario that the draft began as; null: it is a new one. */
export const draftOf: Signal<number | null> = signal<number | null>(null);

let counted: string | null = runName.peek();

export type Counting =
  | { readonly kind: 'none' }
  | { readonly kind: 'counting' }
  | { readonly kind: 'counted'; readonly answer: WhatIfAnswer }
  | { readonly kind: 'refused'; readonly why: string };
export const counting: Signal<Counting> = signal<Counting>({ kind: 'none' });

// An answer is that of one run: it does not stand there for the next.
effect(() => {
  if (runName.value !== counted) counting.value = { kind: 'none' };
  counted = runName.value;
});

export function begin(scenario: Scenario, id: number | null): void {
  draft.value = scenario;
  draftOf.value = id;
}

export function linkOf(scenario: Scenario): string {
  const run = recorded.peek();
  const text = scenarioToText(scenario);
  return run ? `${runHash(run.id)}&${WHAT_IF_HASH.slice(1)}${text}` : WHAT_IF_HASH + text;
}

/** The scenario that the page's address names; null: none, or one that cannot be meant. */
export function scenarioInAddress(): Scenario | null {
  const text = whatIfIn(location.hash);
  return text === null ? null : scenarioFromText(text);
}

/** Asks the worker; the link in the address is that of the question that is answered. */
export async function count(): Promise<void> {
  const scenario = draft.peek();
  counting.value = { kind: 'counting' };
  try {
    const answer = await askDesk({ ask: 'what if', scenario });
    if (answer.answer === 'counted') {
      counting.value = { kind: 'counted', answer: answer.counted };
      history.replaceState(null, '', linkOf(scenario));
    } else counting.value = { kind: 'refused', why: answer.answer === 'refused' ? answer.why : 'no answer' };
  } catch (fault) {
    counting.value = { kind: 'refused', why: fault instanceof Error ? fault.message : String(fault) };
  }
}
