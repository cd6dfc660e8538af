/** The remarks of a handover, written and entered. Those of one that was signed break its signatures, which is said before. */
import { useSignal } from '@preact/signals';
import { NameField } from '../journal/NameField.tsx';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import { useSending } from '../journal/sending.ts';
import { viewerName } from '../preferences.ts';
import { askAnew } from './papersState.ts';

const MOST_CHARS = 4000;

interface RemarksProps {
  /** Null: of the period that is open. */
  readonly number: number | null;
  /** As they stand. */
  readonly remarks: string;
}

export function RemarksForm({ number, remarks }: RemarksProps) {
  /** Null: nothing else was written yet than what stands. */
  const draft = useSignal<string | null>(null);
  const [sending, send] = useSending();
  const text = draft.value ?? remarks;
  const enter = async (event: SubmitEvent) => {
    event.preventDefault();
    const written = draft.peek();
    if (written === null) return;
    const of = number === null ? {} : { handover: number };
    if (!(await send({ action: 'handover remarks', by: viewerName.peek().trim(), text: written, ...of }))) return;
    draft.value = null;
    askAnew();
  };
  return (
    <form class="shift-form" onSubmit={enter}>
      <label class="field">
        Remarks
        <textarea
          rows={5}
          maxLength={MOST_CHARS}
          value={text}
          onInput={(event) => (draft.value = event.currentTarget.value)}
          data-testid="remarks"
        />
      </label>
      {draft.value !== null && draft.value !== remarks && (
        <>
          {number !== null && <p>This handover is closed: whoever has signed it will stand there as broken.</p>}
          <NameField testid="remarks-by" focused={false} />
          <button type="submit" disabled={sending.value.kind === 'sending'} data-testid="remarks-enter">
            Enter the remarks
          </button>
        </>
      )}
      <SendingAnswer sending={sending.value} />
    </form>
  );
}
