/** A note written anew: an entry that follows what stood when the writer began, so that nobody is overwritten unseen. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { viewerName } from '../preferences.ts';
import { NameField } from './NameField.tsx';
import { NOTE_CHARS } from './NoteForm.tsx';
import { newNoteId } from './noteId.ts';
import type { ShownNote } from './notesShown.ts';
import { SendingAnswer } from './SendingAnswer.tsx';
import { samePin } from './samePin.ts';
import { useSending } from './sending.ts';

interface EditFormProps {
  readonly note: ShownNote;
  readonly done: () => void;
}

export function EditForm({ note, done }: EditFormProps) {
  const [sending, send] = useSending();
  const begun = useMemo(() => note.standing, []);
  const text = useSignal(
    begun
      .filter(({ takenBack }) => !takenBack)
      .map((version) => version.text)
      .join('\n'),
  );
  const enter = async (over: { readonly takenBack?: true }) => {
    const edits = begun.map(({ id }) => id);
    const by = viewerName.peek().trim();
    const pin = samePin(begun.at(-1)!);
    if (await send({ action: 'note', by, text: text.peek().trim(), id: newNoteId(), edits, ...pin, ...over })) done();
  };
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    void enter({});
  };
  return (
    <form class="note-form" onSubmit={submit}>
      <label class="field">
        The note anew
        <textarea
          // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
          autoFocus
          required
          rows={2}
          maxLength={NOTE_CHARS}
          value={text.value}
          onInput={(event) => (text.value = event.currentTarget.value)}
          data-testid="edit-text"
        />
      </label>
      <div class="note-row">
        <NameField testid="edit-by" focused={false} />
        <button type="submit" class="confirm" data-testid="edit-send" disabled={sending.value.kind === 'sending'}>
          Enter
        </button>
        <button type="button" class="small" onClick={done}>
          Leave it
        </button>
      </div>
      <SendingAnswer sending={sending.value} />
    </form>
  );
}
