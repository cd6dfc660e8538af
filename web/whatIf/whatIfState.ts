/** The question that is being put together, the last answer, and the questions that this browser keeps. */
import { effect, type Signal, signal } from '@preact/signals';
import { emptyScenario, type Scenario, scenarioFromText, scenarioToText } from '../../src/replay/scenario.ts';
import { wordPreference } from '../preferences.ts';
import { recorded, runHash } from '../recorded.ts';
import { runName } from '../state.ts';
import type { WhatIfAnswer } from '../worker/replayProtocol.ts';
import { WHAT_IF_HASH, whatIfIn } from './whatIfHash.ts';

/** Questions kept, and the characters that they may take together. */
const MOST_KEPT = 20;
const MOST_CHARS = 100_000;

export const draft: Signal<Scenario> = signal<Scenario>(emptyScenario('What if'));

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

const keptText = wordPreference('what-if', MOST_CHARS);
/** What was kept is outside data: what is no scenario is left out. */
const keptIn = (text: string): Scenario[] =>
  text
    .split('\n')
    .map(scenarioFromText)
    .filter((one) => one !== null)
    .slice(0, MOST_KEPT);

export const kept: Signal<readonly Scenario[]> = signal<readonly Scenario[]>(keptIn(keptText.peek()));
effect(() => {
  keptText.value = kept.value.map(scenarioToText).join('\n');
});

/** Newest first; one of the same name is replaced. */
export function keep(scenario: Scenario): void {
  kept.value = [scenario, ...kept.peek().filter(({ name }) => name !== scenario.name)].slice(0, MOST_KEPT);
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
