/** The check as the service works it out: asked for when it is looked at, and again when the plan in force is another. */
import { type Signal, signal } from '@preact/signals';
import { type Check, checkSchema } from '../../src/check/checkSchema.ts';
import { apiOf } from '../recorded.ts';

export type CheckState =
  | { readonly kind: 'asking' }
  | { readonly kind: 'failed'; readonly why: string }
  | { readonly kind: 'ready'; readonly check: Check };

export const checkState: Signal<CheckState> = signal<CheckState>({ kind: 'asking' });

const ANSWER_WITHIN_MS = 30_000;
let asked = 0;

/** The last question alone is answered. */
export async function askForCheck(): Promise<void> {
  asked += 1;
  const mine = asked;
  if (checkState.peek().kind === 'failed') checkState.value = { kind: 'asking' };
  const state = await answered();
  if (mine === asked) checkState.value = state;
}

async function answered(): Promise<CheckState> {
  try {
    const answer = await fetch(apiOf('check'), { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
    if (!answer.ok) return { kind: 'failed', why: `the service answered ${answer.status}` };
    const parsed = checkSchema.safeParse(await answer.json());
    if (parsed.success) return { kind: 'ready', check: parsed.data };
    const issue = parsed.error.issues[0];
    return { kind: 'failed', why: `the answer is no check: ${issue?.path.join('.')}: ${issue?.message}` };
  } catch (fault) {
    return { kind: 'failed', why: `the service did not answer (${fault instanceof Error ? fault.name : 'unknown'})` };
  }
}
