/** One note: what stands, or the versions that conflict; edited and taken back by entries of their own. */
import type { Signal } from '@preact/signals';
import type { NoteVersion } from '../../src/journal/notes.ts';
import { figureWithUnit, rigTime } from '../figures.ts';
import { openDialog } from '../frame/dialogs.ts';
import { Mark } from '../Mark.tsx';
import { viewerName } from '../preferences.ts';
import { wantInstant } from '../replay/barWanted.ts';
import { job, selectedJoint, unitSystem } from '../state.ts';
import { EditForm } from './EditForm.tsx';
import { newNoteId } from './noteId.ts';
import type { ShownNote } from './notesShown.ts';
import { SendingAnswer } from './SendingAnswer.tsx';
import { samePin } from './samePin.ts';
import { useSending } from './sending.ts';

interface NoteItemProps {
  readonly note: ShownNote;
  /** Which note is being edited: one at a time. */
  readonly editing: Signal<string | null>;
}

const timeOf = (ms: number): string => rigTime(ms, job.value?.stream.utcOffsetMs ?? 0);

function pinWords({ timeMs, depth, joint, atMs }: NoteVersion): string {
  if (depth !== null) return `at ${figureWithUnit('length', depth, unitSystem.value)}`;
  if (joint !== null) return `on ${joint}`;
  return `at ${timeOf(timeMs ?? atMs)}`;
}

function goToInstant(ms: number): void {
  openDialog.value = 'none';
  wantInstant(ms);
}

function goToDepth(depth: number): void {
  const joint = job.peek()?.joints.find(({ top, bottom }) => depth >= top && depth < bottom);
  if (joint) selectedJoint.value = joint.index;
  openDialog.value = 'none';
}

function GoTo({ note: { depth, atMs } }: { readonly note: ShownNote }) {
  const go = () => {
    if (depth !== null) goToDepth(depth);
    else if (atMs !== null) goToInstant(atMs);
  };
  return (
    <button type="button" class="small" data-testid="note-go" onClick={go}>
      {depth === null ? 'Go to the instant' : 'Show on the liner'}
    </button>
  );
}

export function NoteItem({ note, editing }: NoteItemProps) {
  const [sending, send] = useSending();
  const last = note.standing.at(-1)!;
  const edits = note.standing.map(({ id }) => id);
  const enter = (from: NoteVersion, over: { readonly text: string; readonly takenBack?: true }) => {
    const by = viewerName.peek().trim();
    // Where no name is known yet, the form that asks for it opens.
    if (by === '') editing.value = note.id;
    else void send({ action: 'note', by, id: newNoteId(), edits, ...samePin(from), ...over });
  };
  const earlier = note.versions.length - note.standing.length;
  return (
    <li class={`note note-${note.state.replace(' ', '-')}`} data-testid="note" data-state={note.state}>
      <b class="note-number">{note.number}</b>
      <div>
        <p class="note-head">
          <b>{pinWords(last)}</b>
          {note.isLater && <span class="note-later">written later than the instant shown</span>}
          {earlier > 0 && (
            <span class="note-by">{earlier === 1 ? '1 version before' : `${earlier} versions before`}</span>
          )}
        </p>
        {note.state === 'conflict' && (
          <p class="note-conflict-says" data-testid="note-conflict">
            <Mark name="bad" size={16} /> {note.standing.length} versions written at the same time: none was lost. Keep
            one, or put them together.
          </p>
        )}
        {note.standing.map((version) => (
          <div key={version.id} class="note-version" data-testid="note-version">
            <p class="note-text">
              {version.takenBack ? `Taken back${version.text === '' ? '' : `: ${version.text}`}` : version.text}
            </p>
            <p class="note-by">
              {version.by}, {timeOf(version.atMs)}
            </p>
            {note.state === 'conflict' && editing.value !== note.id && (
              <button
                type="button"
                class="small"
                data-testid="note-keep"
                onClick={() =>
                  enter(version, { text: version.text, ...(version.takenBack ? { takenBack: true } : {}) })
                }
              >
                Keep this one
              </button>
            )}
          </div>
        ))}
        {editing.value === note.id ? (
          <EditForm note={note} done={() => (editing.value = null)} />
        ) : (
          <p class="note-keys">
            <button type="button" class="small" data-testid="note-edit" onClick={() => (editing.value = note.id)}>
              {note.state === 'conflict' ? 'Put together' : note.state === 'taken back' ? 'Write again' : 'Edit'}
            </button>
            {note.state === 'stands' && (
              <button
                type="button"
                class="small"
                data-testid="note-take-back"
                onClick={() => enter(last, { text: '', takenBack: true })}
              >
                Take back
              </button>
            )}
            <GoTo note={note} />
          </p>
        )}
        <SendingAnswer sending={sending.value} />
      </div>
    </li>
  );
}
