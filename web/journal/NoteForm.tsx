/** A new note, pinned to where its writer looks. */
import { useComputed, useSignal } from '@preact/signals';
import { converter } from '../../src/units.ts';
import { figure, rigTime, unitLabel } from '../figures.ts';
import { viewerName } from '../preferences.ts';
import { looking } from '../replay/replayState.ts';
import { job, now, selectedJoint, unitSystem } from '../state.ts';
import { journalDepth } from './journalDepth.ts';
import { NameField } from './NameField.tsx';
import { newNoteId } from './noteId.ts';
import { SendingAnswer } from './SendingAnswer.tsx';
import { useSending } from './sending.ts';

const PINS = ['time', 'depth', 'joint'] as const;
type Pin = (typeof PINS)[number];
const PIN_SAYINGS: Readonly<Record<Pin, string>> = { time: 'an instant', depth: 'a depth', joint: 'a joint' };
export const NOTE_CHARS = 2000;

/** Depth of the tool at work, in the viewer's units. */
function depthInSight(): string {
  const state = now.peek();
  const depth = state?.toolDepths[state.tool ?? 0] ?? null;
  return depth === null ? '' : converter(unitSystem.peek()).out('length', depth).toFixed(2);
}

export function NoteForm() {
  const [sending, send] = useSending();
  const text = useSignal('');
  const pin = useSignal<Pin>('time');
  const depth = useSignal(depthInSight());
  const joint = useSignal(job.peek()?.joints[selectedJoint.peek() ?? now.peek()?.joint ?? 0]?.name ?? '');
  const atMs = useComputed(() =>
    looking.value.kind === 'replay' ? looking.value.atMs : (now.value?.sourceMs ?? null),
  );
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const pinned = pinTo(pin.peek(), atMs.peek(), depth.peek(), joint.peek());
    const by = viewerName.peek().trim();
    if (!(await send({ action: 'note', by, text: text.peek().trim(), id: newNoteId(), ...pinned }))) return;
    text.value = '';
  };
  return (
    <form class="note-form" onSubmit={submit}>
      <label class="field">
        New note
        <textarea
          // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
          autoFocus
          required
          rows={2}
          maxLength={NOTE_CHARS}
          value={text.value}
          onInput={(event) => (text.value = event.currentTarget.value)}
          data-testid="note-text"
        />
      </label>
      <div class="note-row">
        <label class="field">
          Pinned to
          <select
            value={pin.value}
            onChange={(event) => (pin.value = event.currentTarget.value as Pin)}
            data-testid="note-pin"
          >
            {PINS.map((each) => (
              <option key={each} value={each}>
                {PIN_SAYINGS[each]}
              </option>
            ))}
          </select>
        </label>
        {pin.value === 'time' && (
          <p class="field">
            Instant that is shown
            <b class="note-instant">
              {atMs.value === null ? '' : rigTime(atMs.value, job.value?.stream.utcOffsetMs ?? 0)}
            </b>
          </p>
        )}
        {pin.value === 'depth' && (
          <label class="field">
            Depth, {unitLabel('length', unitSystem.value)}
            <input
              type="number"
              step="0.01"
              required
              value={depth.value}
              onInput={(event) => (depth.value = event.currentTarget.value)}
              data-testid="note-depth"
            />
          </label>
        )}
        {pin.value === 'joint' && (
          <label class="field">
            Joint
            <select
              value={joint.value}
              onChange={(event) => (joint.value = event.currentTarget.value)}
              data-testid="note-joint"
            >
              {job.value?.joints.map(({ name, top }) => (
                <option key={name} value={name}>
                  {name}, top at {figure('length', top, unitSystem.value)}
                </option>
              ))}
            </select>
          </label>
        )}
        <NameField testid="note-by" focused={false} />
        <button type="submit" class="confirm" data-testid="note-send" disabled={sending.value.kind === 'sending'}>
          Add the note
        </button>
      </div>
      <SendingAnswer sending={sending.value} />
    </form>
  );
}

/** As the journal wants it: an instant as text, a depth in the units of the plan. */
function pinTo(pin: Pin, atMs: number | null, depth: string, joint: string) {
  if (pin === 'joint') return { joint };
  if (pin === 'time') return atMs === null ? {} : { time: new Date(atMs).toISOString() };
  return { depth: journalDepth(converter(unitSystem.peek()).in('length', Number(depth))) };
}
