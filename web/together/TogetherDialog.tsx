/** Takes the lead: who does is asked first, since the others are told. */
import { useMemo } from 'preact/hooks';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { NameField } from '../journal/NameField.tsx';
import { viewerName } from '../preferences.ts';
import { pageLink } from '../state.ts';
import { takeLead } from './sharedLink.ts';
import { shared } from './sharedState.ts';

export function TogetherDialog() {
  return (
    <Dialog name="together" title="Watch together">
      <Take />
    </Dialog>
  );
}

function Take() {
  const nameless = useMemo(() => viewerName.peek() === '', []);
  const said = shared.value;
  const isOpen = pageLink.value.kind === 'open';
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    if (viewerName.peek().trim() === '') return;
    takeLead();
    openDialog.value = 'none';
  };
  return (
    <form class="confirm-form" onSubmit={submit}>
      <p>
        Who follows sees the instant that you see, until they go alone, and comes back to you with F.
        {said?.leader && ` ${said.leader.name || 'Somebody'} leads now and will follow you.`} While the tool runs
        nobody’s screen is moved before they follow.
      </p>
      <NameField testid="lead-by" focused={nameless} />
      {!isOpen && <p>The service cannot be reached.</p>}
      <button
        // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
        autoFocus={!nameless}
        type="submit"
        class="confirm"
        data-testid="lead-take"
        disabled={!isOpen}
      >
        Take the lead
      </button>
    </form>
  );
}
