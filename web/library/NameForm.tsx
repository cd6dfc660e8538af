/** The name of a run: of a new one, or another one for a run that is there. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { LIBRARY_LIMITS, type ListedRunState } from '../../src/library/librarySchema.ts';
import { asking, doing, nameRun, startRun } from './libraryState.ts';

export function NameForm({ run }: { readonly run?: ListedRunState }) {
  const name = useSignal(run?.name ?? '');
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.select(), []);
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const said = name.peek().trim();
    if (said !== '') void (run ? nameRun(run, said) : startRun(said));
  };
  return (
    <form class={run ? 'run-confirm' : 'library-part run-confirm'} onSubmit={submit}>
      {!run && <p>The rig is recorded into a new run, under the plan in force; the present one is closed.</p>}
      <label>
        Name{' '}
        <input
          ref={field}
          data-testid="run-name-field"
          value={name.value}
          maxLength={LIBRARY_LIMITS.nameChars}
          onInput={(event) => (name.value = event.currentTarget.value)}
        />
      </label>
      <button type="submit" class="is-first" data-testid="run-name-save" disabled={doing.value.kind === 'doing'}>
        {run ? 'Name it so' : 'Begin it'}
      </button>
      <button type="button" onClick={() => (asking.value = { kind: 'none' })}>
        Leave it
      </button>
    </form>
  );
}
