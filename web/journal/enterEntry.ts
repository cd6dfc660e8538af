/** Enters into the journal, through the service of this page, what the viewer has done. */
import { z } from 'zod/mini';
import { isAfterwards } from '../../src/journal/aboutTheRun.ts';
import { fetchPart } from '../library/libraryPart.ts';
import { apiOf, recorded } from '../recorded.ts';
import { looking } from '../replay/replayState.ts';

/** What is entered here: the service stamps it with the rig's instant. */
export type PageEntry =
  | {
      readonly action: 'set depth';
      readonly by: string;
      readonly tool: string;
      readonly depth: number;
      readonly confirms: number;
    }
  | { readonly action: 'drop ball'; readonly by: string; readonly ball: string }
  | NoteEntry
  | {
      readonly action: 'acknowledge';
      readonly by: string;
      readonly event: { readonly kind: string; readonly from: string; readonly joint?: string };
      readonly reason?: string;
    }
  | { readonly action: 'accept' | 'reject'; readonly by: string; readonly joint: string; readonly reason: string }
  | { readonly action: 'handover remarks'; readonly by: string; readonly text: string; readonly handover?: number }
  | {
      readonly action: 'time code';
      readonly by: string;
      readonly from: string;
      readonly to: string;
      readonly code: string | null;
      readonly reason: string;
    };

/** These say themselves where they belong, whatever instant is looked at. */
const PLACED: readonly PageEntry['action'][] = ['note', 'handover remarks', 'time code'];

/** Depth in the units of the plan. */
export interface NoteEntry {
  readonly action: 'note';
  readonly by: string;
  readonly text: string;
  readonly id?: string;
  readonly edits?: readonly string[];
  readonly takenBack?: true;
  readonly time?: string;
  readonly depth?: number;
  readonly joint?: string;
}

export type EntryAnswer =
  | { readonly kind: 'entered'; readonly effect: string }
  | { readonly kind: 'refused'; readonly why: string };

const ANSWER_WITHIN_MS = 15_000;
const enteredSchema = z.object({ effect: z.string(), kept: z.enum(['run', 'file', 'memory']) });
const refusedSchema = z.object({ error: z.string() });

/** Never throws: a link that is down is an answer too. */
export async function enterEntry(entry: PageEntry): Promise<EntryAnswer> {
  if (recorded.peek() && !isAfterwards(entry.action))
    return { kind: 'refused', why: 'This is a recorded run: what would be done at the rig is not entered into it.' };
  // What is decided on the sight of an instant that is over must not be entered as if it were now.
  if (looking.peek().kind === 'replay' && !PLACED.includes(entry.action))
    return { kind: 'refused', why: 'This is a replay: go back to live (L) to enter something.' };
  try {
    const answer = await fetch(apiOf('journal'), {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(entry),
      signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
    });
    const body: unknown = await answer.json();
    const entered = enteredSchema.safeParse(body);
    if (answer.ok && entered.success) {
      if (recorded.peek()) void showAgain();
      const where =
        entered.data.kept === 'memory'
          ? ' Kept until the service ends: no data folder and no journal file was named.'
          : '';
      return { kind: 'entered', effect: `${entered.data.effect}.${where}` };
    }
    const refused = refusedSchema.safeParse(body);
    return { kind: 'refused', why: refused.success ? refused.data.error : `the service answered ${answer.status}` };
  } catch (fault) {
    return { kind: 'refused', why: `the service did not answer (${fault instanceof Error ? fault.name : 'unknown'})` };
  }
}

/** No live link tells what came of an entry into a run that is over. */
async function showAgain(): Promise<void> {
  try {
    const { showAnew } = await fetchPart();
    await showAnew();
  } catch (fault) {
    console.info(`the run is not shown anew: ${String(fault)}`);
  }
}
