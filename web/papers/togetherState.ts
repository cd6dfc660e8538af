/** Which runs are laid side by side, and what came of it; asked again while some are still being counted. */
import { type Signal, signal } from '@preact/signals';
import { z } from 'zod/mini';
import { togetherSchema } from '../../src/together/togetherSchema.ts';
import { askLibrary, saysOf } from '../library/askLibrary.ts';

const answerSchema = z.object({
  together: togetherSchema,
  pending: z.array(z.string()),
  refused: z.array(z.object({ run: z.string(), why: z.string() })),
  runsLeftOut: z.int(),
});

export type TogetherState =
  | { readonly kind: 'asking' }
  | { readonly kind: 'failed'; readonly why: string }
  | { readonly kind: 'here'; readonly answer: z.infer<typeof answerSchema> };
export const togetherState: Signal<TogetherState> = signal<TogetherState>({ kind: 'asking' });

/** Ids; null: the newest, as many as have room. */
export const chosenRuns: Signal<readonly string[] | null> = signal<readonly string[] | null>(null);

const AGAIN_AFTER_MS = 1500;

/** @returns ends it: what is answered later is not looked at */
export function askTogether(runs: readonly string[] | null): () => void {
  let isMine = true;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const url = `/api/together${runs === null ? '' : `?runs=${encodeURIComponent(runs.join(','))}`}`;
  const ask = async (): Promise<void> => {
    try {
      const answer = await askLibrary(answerSchema, url);
      if (!isMine) return;
      togetherState.value = { kind: 'here', answer };
      if (answer.pending.length > 0) timer = setTimeout(() => void ask(), AGAIN_AFTER_MS);
    } catch (fault) {
      if (isMine) togetherState.value = { kind: 'failed', why: saysOf(fault) };
    }
  };
  if (runs?.length === 0) togetherState.value = { kind: 'failed', why: 'no run is chosen' };
  else void ask();
  return () => {
    isMine = false;
    clearTimeout(timer);
  };
}
