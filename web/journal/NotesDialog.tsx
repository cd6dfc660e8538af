/** Notes: written here, read here, and below them everything else that people did. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { decimal, rigTime } from '../figures.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { job, journalLeftOut, journalLines } from '../state.ts';
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
      <LeftOutNotes />
      <ul class="note-list" data-testid="notes">
        {newestFirst.map((note) => (
          <NoteItem key={note.id} note={note} editing={editing} />
        ))}
      </ul>
      {all.length === 0 && journalLeftOut.value.notes === 0 && <p>No note yet.</p>}
      <JournalList />
    </div>
  );
}

/** The oldest are not sent to a page that opens when the journal is long: nobody may take what is listed for all there is. */
function LeftOutNotes() {
  const { notes: count } = journalLeftOut.value;
  if (count === 0) return null;
  return (
    <p class="left-out-notes" data-testid="notes-left-out">
      {count === 1 ? '1 older note is' : `${decimal(count, 0)} older notes are`} not shown here: the journal is too long
      for the page. They are kept in the journal of the run, which the archive and the backup of the run hold.
    </p>
  );
}

/** Of everything, oldest last, until all are asked for. */
const LINES_SHOWN = 50;

function JournalList() {
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const all = useSignal(false);
  const others = journalLines.value.filter(({ action }) => action !== 'note');
  const { entries, notes: leftOutNotes } = journalLeftOut.value;
  if (others.length === 0 && entries === leftOutNotes) return null;
  const shown = all.value ? others : others.slice(-LINES_SHOWN);
  return (
    <>
      <h3>Entered</h3>
      <ul class="journal-list" data-testid="journal-lines">
        {[...shown].reverse().map(({ number, atMs, by, action, text }) => (
          <li key={number}>
            <time>{rigTime(atMs, offsetMs)}</time> <b>{action}</b> {text} <span class="note-by">{by}</span>
          </li>
        ))}
      </ul>
      {others.length > shown.length && (
        <button type="button" data-testid="journal-all" onClick={() => (all.value = true)}>
          Show all {decimal(others.length, 0)}
        </button>
      )}
      {entries > 0 && (
        <p data-testid="entries-left-out">
          The oldest {decimal(entries, 0)} of the journal, notes among them, are not shown here: it is too long for the
          page.
        </p>
      )}
    </>
  );
}
