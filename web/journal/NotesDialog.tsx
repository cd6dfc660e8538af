/** Notes: written here, read here, and below them everything else that people did. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { rigTime } from '../figures.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { job, journalLines } from '../state.ts';
import { NoteForm } from './NoteForm.tsx';
import { NoteItem } from './NoteItem.tsx';
import { notes } from './notesShown.ts';

export function NotesDialog() {
  return (
    <Dialog name="notes" title="Notes and the journal">
      <Notes />
    </Dialog>
  );
}

function Notes() {
  const editing = useSignal<string | null>(null);
  const all = notes.value;
  const newestFirst = useMemo(() => [...all].reverse(), [all]);
  return (
    <div class="notes">
      {editing.value === null && <NoteForm />}
      <ul class="note-list" data-testid="notes">
        {newestFirst.map((note) => (
          <NoteItem key={note.id} note={note} editing={editing} />
        ))}
      </ul>
      {all.length === 0 && <p>No note yet.</p>}
      <JournalList />
    </div>
  );
}

/** Of everything, oldest last: a long journal is read in the record. */
const LINES_SHOWN = 50;

function JournalList() {
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const others = journalLines.value.filter(({ action }) => action !== 'note');
  if (others.length === 0) return null;
  return (
    <>
      <h3>Entered</h3>
      <ul class="journal-list" data-testid="journal-lines">
        {others
          .slice(-LINES_SHOWN)
          .reverse()
          .map(({ number, atMs, by, action, text }) => (
            <li key={number}>
              <time>{rigTime(atMs, offsetMs)}</time> <b>{action}</b> {text} <span class="note-by">{by}</span>
            </li>
          ))}
      </ul>
    </>
  );
}
