import type { NoteVersion } from '../../src/journal/notes.ts';
import type { NoteEntry } from './enterEntry.ts';
import { journalDepth } from './journalDepth.ts';

/** Where a version is pinned, as an entry that follows it says it again: an edit stays at its place. */
export const samePin = ({ timeMs, joint, depth, atMs }: NoteVersion): Pick<NoteEntry, 'time' | 'joint' | 'depth'> => ({
  ...(joint === null ? {} : { joint }),
  ...(depth === null ? {} : { depth: journalDepth(depth) }),
  ...(depth === null && joint === null ? { time: new Date(timeMs ?? atMs).toISOString() } : {}),
});
