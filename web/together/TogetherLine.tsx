/** Who leads, how many watch, whether this page follows: one line at the foot of the page, with what can be done about it. */

import { openDialog } from '../frame/dialogs.ts';
import { drawnNotes } from '../journal/notesShown.ts';
import { job, journalLeftOut } from '../state.ts';
import { toggleFollow } from './sharedLink.ts';
import { type Stance, shared, stance } from './sharedState.ts';
import { STANCE_SAYINGS, sharedWords, watchersWords } from './togetherWords.ts';
import './together.css';

const FOLLOW_SAYINGS: Readonly<Record<Stance, string>> = {
  undecided: 'Follow',
  alone: 'Follow',
  following: 'Go alone',
  leading: 'Stop leading',
};

export function TogetherLine() {
  const count = drawnNotes.value.length + journalLeftOut.value.notes;
  return (
    <div class="together">
      <Shared />
      <button
        type="button"
        title="Notes and the journal (N)"
        data-testid="notes-open"
        onClick={() => (openDialog.value = 'notes')}
      >
        {count === 0 ? 'Notes' : `${count} ${count === 1 ? 'note' : 'notes'}`}
      </button>
    </div>
  );
}

function Shared() {
  const said = shared.value;
  const how = stance.value;
  if (!said) return null;
  const words = sharedWords(said, how, job.value?.stream.utcOffsetMs ?? 0);
  const standing = words === null ? '' : STANCE_SAYINGS[how];
  return (
    <>
      <p class={`together-says is-${how}`} role="status" data-testid="together" data-stance={how}>
        {words !== null && (
          <>
            <b>{words}</b>
            {standing && `; ${standing}`}.{' '}
          </>
        )}
        {watchersWords(said, words !== null)}
      </p>
      {words !== null && (
        <button type="button" title="Follow, or go alone (F)" data-testid="follow" onClick={toggleFollow}>
          {FOLLOW_SAYINGS[how]}
        </button>
      )}
      {how !== 'leading' && (
        <button
          type="button"
          title="Take the lead (H)"
          data-testid="lead-open"
          onClick={() => (openDialog.value = 'together')}
        >
          {words === null ? 'Watch together' : 'Take the lead'}
        </button>
      )}
    </>
  );
}
