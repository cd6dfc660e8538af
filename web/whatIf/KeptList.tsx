/** The scenarios that are kept for everyone: counted again, put beside the run, called otherwise, removed. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { SCENARIO_LIMITS } from '../../src/replay/scenario.ts';
import { ORIGINAL, wanted } from '../beside/besideState.ts';
import { type KeptOne, keepScenario, keptOnes, keptWhere, removeScenario } from '../beside/keptScenarios.ts';
import { openDialog } from '../frame/dialogs.ts';
import { viewerName } from '../preferences.ts';
import { recorded, runHash } from '../recorded.ts';
import { WhoField } from './WhoField.tsx';
import { begin, count, draft, draftOf } from './whatIfState.ts';

export function KeptList() {
  if (keptOnes.value.length === 0) return null;
  return (
    <section class="what-if-kept">
      <h3>Kept for everyone</h3>
      {keptWhere.value === 'memory' && <p>Until the service ends: it keeps no data folder.</p>}
      <ul data-testid="kept-scenarios">
        {keptOnes.value.map((one) => (
          <Row key={one.id} one={one} />
        ))}
      </ul>
    </section>
  );
}

function Row({ one }: { readonly one: KeptOne }) {
  const { id, by, scenario } = one;
  const naming = useSignal<string | null>(null);
  const again = (): void => {
    begin(scenario, id);
    void count();
  };
  if (naming.value !== null) return <Renaming one={one} naming={naming} />;
  return (
    <li data-testid={`kept-${id}`}>
      <button type="button" class="kept-name" title={`${scenario.name}, kept by ${by}`} onClick={again}>
        {scenario.name} <small>{by}</small>
      </button>
      <button type="button" title="Beside the run as recorded" onClick={() => putBeside(id)}>
        Beside
      </button>
      <button type="button" aria-label={`Rename ${scenario.name}`} onClick={() => (naming.value = scenario.name)}>
        Rename
      </button>
      <button
        type="button"
        class="forget"
        aria-label={`Remove ${scenario.name}`}
        onClick={() => {
          if (draftOf.peek() === id) draftOf.value = null;
          void removeScenario(id);
        }}
      >
        ✕
      </button>
    </li>
  );
}

function putBeside(id: number): void {
  wanted.value = { ...wanted.peek(), a: ORIGINAL, b: `s${id}` };
  // What the address asked is answered: it must not be asked again.
  const run = recorded.peek();
  history.replaceState(null, '', run ? runHash(run.id) : location.pathname + location.search);
  openDialog.value = 'beside';
}

interface RenamingProps {
  readonly one: KeptOne;
  readonly naming: { value: string | null };
}

function Renaming({ one: { id, scenario }, naming }: RenamingProps) {
  // As it was when the row was opened.
  const nameless = useMemo(() => viewerName.peek().trim() === '', []);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const name = naming.value!.trim();
    if ((await keepScenario(id, { ...scenario, name })) === null) return;
    if (draftOf.peek() === id) draft.value = { ...draft.peek(), name };
    naming.value = null;
  };
  return (
    <li>
      <form onSubmit={(event) => void save(event)}>
        <input
          aria-label="New name"
          data-testid="kept-new-name"
          required
          maxLength={SCENARIO_LIMITS.nameChars}
          value={naming.value!}
          onInput={({ currentTarget }) => (naming.value = currentTarget.value)}
        />
        {nameless && <WhoField testid="rename-by" />}
        <button type="submit">Save</button>
        <button type="button" onClick={() => (naming.value = null)}>
          Leave
        </button>
      </form>
    </li>
  );
}
