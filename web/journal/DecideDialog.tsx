/** Accepts or rejects the joint that is singled out, with the reason. What the readings say of it stays as it is. */
import { useSignal } from '@preact/signals';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { decisionWords } from '../joints/decisionWords.ts';
import { viewerName } from '../preferences.ts';
import { job, joints, selectedJoint } from '../state.ts';
import { NameField } from './NameField.tsx';
import { SendingAnswer } from './SendingAnswer.tsx';
import { useSending } from './sending.ts';

export function DecideDialog() {
  const index = selectedJoint.value;
  return (
    <Dialog name="decide" title="Accept or reject a joint">
      {index === null ? <p>No joint is singled out.</p> : <Decide key={index} index={index} />}
    </Dialog>
  );
}

function Decide({ index }: { readonly index: number }) {
  const [sending, send] = useSending();
  const action = useSignal<'accept' | 'reject' | null>(null);
  const reason = useSignal('');
  const joint = job.value?.joints[index];
  const state = joints.value[index]?.value ?? null;
  if (!joint) return <p>The plan has no such joint.</p>;
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const chosen = action.peek();
    if (chosen === null) return;
    const by = viewerName.peek().trim();
    if (await send({ action: chosen, by, joint: joint.name, reason: reason.peek().trim() })) openDialog.value = 'none';
  };
  return (
    <form class="confirm-form" onSubmit={submit}>
      <p>
        <b>{joint.name}</b>, {joint.kind}: {state?.verdict ?? 'nothing known'}
        {state?.decision && `, ${decisionWords(state.decision, job.value?.stream.utcOffsetMs ?? 0)}`}
      </p>
      <fieldset class="decide-choice">
        {(['accept', 'reject'] as const).map((each) => (
          <label key={each}>
            <input
              type="radio"
              name="decide"
              required
              checked={action.value === each}
              onChange={() => (action.value = each)}
              data-testid={`decide-${each}`}
            />{' '}
            {each === 'accept' ? 'Accept it' : 'Reject it'}
          </label>
        ))}
      </fieldset>
      <label class="field">
        Why
        <textarea
          required
          rows={2}
          maxLength={1000}
          value={reason.value}
          onInput={(event) => (reason.value = event.currentTarget.value)}
          data-testid="decide-reason"
        />
      </label>
      <NameField testid="decide-by" focused={false} />
      <SendingAnswer sending={sending.value} />
      <button type="submit" class="confirm" data-testid="decide-send" disabled={sending.value.kind === 'sending'}>
        Enter it
      </button>
    </form>
  );
}
