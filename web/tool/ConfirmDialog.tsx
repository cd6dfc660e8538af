/** Confirms an offered depth: who does it is asked once and kept in this browser, for the journal wants a name. */
import { useMemo } from 'preact/hooks';
import { figure, rigTime, unitLabel } from '../figures.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { journalDepth } from '../journal/journalDepth.ts';
import { NameField } from '../journal/NameField.tsx';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import { useSending } from '../journal/sending.ts';
import { viewerName } from '../preferences.ts';
import { job, now, unitSystem } from '../state.ts';
import { confirmedStep, type Offer } from './OfferCell.tsx';
import { signed } from './toolWords.ts';

export function ConfirmDialog() {
  const offer = now.value?.depthAtTool.offer ?? null;
  return (
    <Dialog name="confirm" title="Confirm the depth">
      {offer && confirmedStep.value !== offer.step ? <Confirm offer={offer} /> : <p>There is no depth to confirm.</p>}
    </Dialog>
  );
}

function Confirm({ offer }: { readonly offer: Offer }) {
  const system = unitSystem.value;
  // As it was when the dialog opened.
  const nameless = useMemo(() => viewerName.peek() === '', []);
  const [sending, send] = useSending();
  const tool = job.value?.tools[offer.tool]?.name ?? '';
  const length = (depthM: number) => `${figure('length', depthM, system)} ${unitLabel('length', system)}`;
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const by = viewerName.peek().trim();
    const depth = journalDepth(offer.tagged);
    if (!(await send({ action: 'set depth', by, tool, depth, confirms: offer.step }))) return;
    confirmedStep.value = offer.step;
    openDialog.value = 'none';
  };
  return (
    <form class="confirm-form" onSubmit={submit}>
      <dl class="facts">
        <div>
          <dt>Shown for the {tool} tool</dt>
          <dd>{length(offer.shown)}</dd>
        </div>
        <div>
          <dt>Shear device by the plan</dt>
          <dd>{length(offer.tagged)}</dd>
        </div>
        <div>
          <dt>All depths move by</dt>
          <dd data-testid="confirm-difference">
            {signed(offer.tagged - offer.shown, system)} {unitLabel('length', system)}
          </dd>
        </div>
        <div>
          <dt>Set-down, rig time</dt>
          <dd>
            {figure('force', offer.setDown, system)} {unitLabel('force', system)},{' '}
            {rigTime(offer.atMs, job.value?.stream.utcOffsetMs ?? 0)}
          </dd>
        </div>
      </dl>
      <NameField testid="confirm-by" focused={nameless} />
      <SendingAnswer sending={sending.value} />
      <button
        // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
        autoFocus={!nameless}
        type="submit"
        class="confirm"
        data-testid="confirm-send"
        disabled={sending.value.kind === 'sending'}
      >
        Confirm the depth
      </button>
    </form>
  );
}
