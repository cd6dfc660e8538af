/** Acknowledges one event: it is said which, who does, and why where that is asked. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { asksReason } from '../../src/events.ts';
import type { EventState } from '../../src/live/messages.ts';
import { acknowledging, enterAcknowledged, notEntered } from '../events/acknowledging.ts';
import { eventName, eventPlace } from '../events/eventWords.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { Mark } from '../Mark.tsx';
import { viewerName } from '../preferences.ts';
import { job, unitSystem } from '../state.ts';
import { NameField } from './NameField.tsx';
import { SendingAnswer } from './SendingAnswer.tsx';
import type { Sending } from './sending.ts';

export function AcknowledgeDialog() {
  const event = acknowledging.value;
  return (
    <Dialog name="acknowledge" title="Acknowledge">
      {event ? <Acknowledge key={event.id} event={event} /> : <p>There is no event to acknowledge.</p>}
    </Dialog>
  );
}

function Acknowledge({ event }: { readonly event: EventState }) {
  const nameless = useMemo(() => viewerName.peek() === '', []);
  const reason = useSignal('');
  const sending = useSignal<Sending>(
    notEntered.peek() === '' ? { kind: 'idle' } : { kind: 'refused', why: notEntered.peek() },
  );
  const wanted = asksReason(event.kind);
  const submit = async (submitted: SubmitEvent) => {
    submitted.preventDefault();
    const by = viewerName.peek().trim();
    if (by === '' || sending.peek().kind === 'sending') return;
    sending.value = { kind: 'sending' };
    const answer = await enterAcknowledged(event, by, reason.peek().trim());
    sending.value = answer.kind === 'refused' ? { kind: 'refused', why: answer.why } : { kind: 'idle' };
    if (answer.kind === 'entered') openDialog.value = 'none';
  };
  return (
    <form class="confirm-form" onSubmit={submit}>
      <p class="acknowledge-event" data-testid="acknowledge-event">
        <Mark name={event.priority} size={26} /> <b>{eventName(event)}</b>{' '}
        {eventPlace(event, unitSystem.value, job.value?.stream.utcOffsetMs ?? 0)}
      </p>
      <label class="field">
        {wanted ? 'What was found or done' : 'What was found or done, if there is something to say'}
        <textarea
          // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
          autoFocus={wanted && !nameless}
          required={wanted}
          rows={2}
          maxLength={1000}
          value={reason.value}
          onInput={(typed) => (reason.value = typed.currentTarget.value)}
          data-testid="acknowledge-reason"
        />
      </label>
      <NameField testid="acknowledge-by" focused={nameless} />
      <SendingAnswer sending={sending.value} />
      <button
        // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
        autoFocus={!wanted && !nameless}
        type="submit"
        class="confirm"
        data-testid="acknowledge-send"
        disabled={sending.value.kind === 'sending'}
      >
        Acknowledge
      </button>
    </form>
  );
}
