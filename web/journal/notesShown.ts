/** The notes of the run as they are drawn: numbered alike on the list, the time bar, the traces and the liner. */
import { computed, type ReadonlySignal } from '@preact/signals';
import { type NoteState, type NoteVersion, noteState, notesOf, versionOf } from '../../src/journal/notes.ts';
import { looking } from '../replay/replayState.ts';
import { job, journalLeftOut, journalLines } from '../state.ts';

export interface ShownNote {
  readonly id: string;
  /** From 1, in the order in which they were begun. */
  readonly number: number;
  readonly state: NoteState;
  readonly standing: readonly NoteVersion[];
  readonly versions: readonly NoteVersion[];
  /** Instant that it is pinned to, ms; its own where it is pinned to nothing else; null for a depth or a joint. */
  readonly atMs: number | null;
  /** Depth that it is pinned to, m; the middle of its joint; null for a time. */
  readonly depth: number | null;
  /** Written behind the instant that is looked at: it was not known then. */
  readonly isLater: boolean;
}

function pinOf({ timeMs, depth, joint, atMs }: NoteVersion): Pick<ShownNote, 'atMs' | 'depth'> {
  const pinned = joint === null ? undefined : job.value?.joints.find(({ name }) => name === joint);
  const at = depth ?? (pinned ? (pinned.top + pinned.bottom) / 2 : null);
  return { depth: at, atMs: timeMs ?? (at === null ? atMs : null) };
}

export const notes: ReadonlySignal<readonly ShownNote[]> = computed(() => {
  const versions = journalLines.value.map(versionOf).filter((version) => version !== null);
  const look = looking.value;
  const untilMs = look.kind === 'replay' && look.knowing === 'seen' ? look.atMs : Number.POSITIVE_INFINITY;
  return notesOf(versions).map(({ id, standing, versions: all }, i) => ({
    id,
    number: journalLeftOut.value.notes + i + 1,
    state: noteState({ id, standing, versions: all }),
    standing,
    versions: all,
    ...pinOf(standing.at(-1)!),
    isLater: all[0]!.atMs > untilMs,
  }));
});

/** Those that are drawn. */
export const drawnNotes: ReadonlySignal<readonly ShownNote[]> = computed(() =>
  notes.value.filter(({ state }) => state !== 'taken back'),
);
