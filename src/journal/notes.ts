/**
 * Notes, from the entries that made them. An entry is never changed: an edit is a new version that names those it follows.
 *
 * N1 No version is lost: each stands in exactly one note.
 * N2 What stands is what no other version follows. Two edits of one version at the same time both stand, as a conflict.
 * N3 An edit that follows all that stand settles the conflict. Taking back is a version as well.
 * N4 The order in which versions become known does not matter; one that follows what is not known stands for itself.
 */
import type { JournalLine } from '../live/messages.ts';

export interface NoteVersion {
  readonly id: string;
  readonly edits: readonly string[];
  readonly by: string;
  /** When it was entered, ms. */
  readonly atMs: number;
  /** Place in the journal: orders those of one instant. */
  readonly number: number;
  readonly text: string;
  readonly takenBack: boolean;
  readonly timeMs: number | null;
  readonly depth: number | null;
  readonly joint: string | null;
}

export interface Note {
  /** The id of its oldest version. */
  readonly id: string;
  /** What stands, oldest first: one, or several that conflict. */
  readonly standing: readonly NoteVersion[];
  /** All of them, oldest first. */
  readonly versions: readonly NoteVersion[];
}

export type NoteState = 'stands' | 'conflict' | 'taken back';

export function noteState({ standing }: Note): NoteState {
  if (standing.every(({ takenBack }) => takenBack)) return 'taken back';
  return standing.length > 1 ? 'conflict' : 'stands';
}

const byPlace = (a: NoteVersion, b: NoteVersion): number => a.number - b.number;

/** @param versions with ids that differ, in any order @returns oldest first */
export function notesOf(versions: readonly NoteVersion[]): Note[] {
  const ordered = [...versions].sort(byPlace);
  const parent = new Map(ordered.map(({ id }) => [id, id]));
  const followed = new Set<string>();
  for (const { id, edits } of ordered) {
    for (const before of edits) {
      if (!parent.has(before)) continue;
      if (before !== id) followed.add(before);
      parent.set(rootOf(parent, id), rootOf(parent, before));
    }
  }
  const groups = new Map<string, NoteVersion[]>();
  for (const version of ordered) {
    const root = rootOf(parent, version.id);
    const group = groups.get(root);
    if (group) group.push(version);
    else groups.set(root, [version]);
  }
  return [...groups.values()].map((group) => ({
    id: group[0]!.id,
    standing: group.filter(({ id }) => !followed.has(id)),
    versions: group,
  }));
}

/** Paths are halved on the way, so that a long chain of edits is walked once. */
function rootOf(parent: Map<string, string>, id: string): string {
  let at = id;
  for (let up = parent.get(at)!; up !== at; up = parent.get(at)!) {
    const above = parent.get(up)!;
    parent.set(at, above);
    at = above;
  }
  return at;
}

/** Null: the entry is no note. */
export const versionOf = ({ number, atMs, by, text, note }: JournalLine): NoteVersion | null =>
  note ? { ...note, number, atMs, by, text } : null;
