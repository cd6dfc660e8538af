/** A depth tag that waits for a person: both depths, the difference, and the button that takes it over. */
import { signal } from '@preact/signals';
import type { DepthAtToolNow } from '../../src/live/messages.ts';
import { figure, unitLabel } from '../figures.ts';
import { openDialog } from '../frame/dialogs.ts';
import { job, unitSystem } from '../state.ts';
import { signed } from './toolWords.ts';

export type Offer = NonNullable<DepthAtToolNow['offer']>;

/** The offer that was confirmed here, by its step, until the next readings tell of it. */
export const confirmedStep = signal<number | null>(null);

export function OfferCell({ offer }: { readonly offer: Offer }) {
  const system = unitSystem.value;
  const tool = job.value?.tools[offer.tool]?.name ?? 'tool';
  if (confirmedStep.value === offer.step) {
    return (
      <div class="tool-cell tool-offer" data-testid="tool-offer">
        <h2>Depth tag, {tool} tool</h2>
        <p class="tool-figures">Confirmed. The next reading shows the new depth.</p>
      </div>
    );
  }
  return (
    <div class="tool-cell tool-offer" data-testid="tool-offer">
      <div>
        <h2>
          Depth tag, {tool} tool, {unitLabel('length', system)}
        </h2>
        <p class="tool-figures">
          <span>
            <small>shown</small> <b>{figure('length', offer.shown, system)}</b>
          </span>
          <span>
            <small>shear device</small> <b>{figure('length', offer.tagged, system)}</b>
          </span>
        </p>
        <p class="tool-note">
          would move by <b>{signed(offer.tagged - offer.shown, system)}</b>, set-down{' '}
          {figure('force', offer.setDown, system)} {unitLabel('force', system)}
        </p>
      </div>
      <button
        type="button"
        class="confirm"
        data-testid="offer-confirm"
        onClick={() => (openDialog.value = 'confirm')}
        title="Confirm the depth (D)"
      >
        Confirm…
      </button>
    </div>
  );
}
