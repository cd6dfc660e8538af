/** Keeps the scenario that is answered, for everyone who opens the page. */
import type { Scenario } from '../../src/replay/scenario.ts';
import { keepScenario } from '../beside/keptScenarios.ts';
import { viewerName } from '../preferences.ts';
import { WhoField } from './WhoField.tsx';
import { draftOf } from './whatIfState.ts';

export function KeepKeys({ scenario }: { readonly scenario: Scenario }) {
  const id = draftOf.value;
  const nameless = viewerName.value.trim() === '';
  const keep = async (as: number | null): Promise<void> => {
    const kept = await keepScenario(as, scenario);
    if (kept !== null) draftOf.value = kept;
  };
  return (
    <div class="keep-keys">
      <WhoField testid="keep-by" />
      {id !== null && (
        <button type="button" data-testid="keep-changes" disabled={nameless} onClick={() => void keep(id)}>
          Keep the changes
        </button>
      )}
      <button type="button" data-testid="keep" disabled={nameless} onClick={() => void keep(null)}>
        {id === null ? 'Keep for everyone' : 'Keep as another'}
      </button>
    </div>
  );
}
