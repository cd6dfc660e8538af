/** The passes of some sides over a stretch of depth, asked of the worker whenever either changes. */
import { type ReadonlySignal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Pass } from '../../src/replay/passes.ts';
import type { DepthWindow } from '../liner/linerScale.ts';
import { askDesk } from '../replay/replayer.ts';
import type { SideAsked } from '../worker/replayProtocol.ts';

export type Passes =
  | { readonly kind: 'asking' }
  /** Of each side, in their order. */
  | { readonly kind: 'here'; readonly of: readonly (readonly Pass[])[] }
  | { readonly kind: 'refused'; readonly why: string };

export interface PassesAsked {
  readonly side: SideAsked;
  /** m */
  readonly window: DepthWindow;
}

/** @param sides empty: nothing is asked */
export function usePasses(sides: readonly PassesAsked[]): ReadonlySignal<Passes> {
  const passes = useSignal<Passes>({ kind: 'asking' });
  useEffect(() => {
    let wanted = true;
    if (sides.length === 0) return;
    void askAll(sides).then((answer) => {
      if (wanted) passes.value = answer;
    });
    return () => {
      wanted = false;
    };
  }, [JSON.stringify(sides)]);
  return passes;
}

async function askAll(sides: readonly PassesAsked[]): Promise<Passes> {
  try {
    const of: (readonly Pass[])[] = [];
    for (const { side, window } of sides) {
      const answer = await askDesk({ ask: 'passes', side, fromM: window.from, toM: window.to });
      if (answer.answer !== 'passes')
        return { kind: 'refused', why: answer.answer === 'refused' ? answer.why : 'no answer' };
      of.push(answer.passes);
    }
    return { kind: 'here', of };
  } catch (fault) {
    return { kind: 'refused', why: fault instanceof Error ? fault.message : String(fault) };
  }
}
