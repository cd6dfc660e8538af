/** Which runs of the library are laid side by side. */
import { useEffect } from 'preact/hooks';
import { askForRuns, library } from '../library/libraryState.ts';
import { chosenRuns, togetherState } from './togetherState.ts';

/** Those that are in it without having been chosen. */
function runsNow(): readonly string[] {
  if (chosenRuns.value !== null) return chosenRuns.value;
  const state = togetherState.value;
  if (state.kind !== 'here') return [];
  const { together, pending, refused } = state.answer;
  return [...together.runs.map(({ id }) => id), ...pending, ...refused.map(({ run }) => run)];
}

export function RunChoice() {
  useEffect(() => void askForRuns(), []);
  const state = library.value;
  if (state.kind !== 'here' || state.runs.runs.length === 0) return null;
  const chosen = runsNow();
  const turn = (id: string) => () => {
    chosenRuns.value = chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id];
  };
  return (
    <details class="shift-card" open={state.runs.runs.length < 7}>
      <summary>
        {chosen.length} of {state.runs.runs.length} runs side by side
      </summary>
      <fieldset class="run-choice" aria-label="Runs side by side">
        {state.runs.runs.map(({ id, name, well }) => (
          <label key={id}>
            <input type="checkbox" checked={chosen.includes(id)} onChange={turn(id)} data-testid={`beside-${id}`} />
            <span>
              {name || id}
              {well && `, ${well}`}
            </span>
          </label>
        ))}
      </fieldset>
    </details>
  );
}
