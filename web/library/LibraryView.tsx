/** The run library: what is kept, what can be done with each run, and how a recorded stream is taken in. */
import { useEffect, useRef } from 'preact/hooks';
import { ImportPart } from './ImportPart.tsx';
import { importing } from './importState.ts';
import { askForRuns, asking, doing, library, opening } from './libraryState.ts';
import { NameForm } from './NameForm.tsx';
import { RunTable } from './RunTable.tsx';
import { VerifiedPart } from './VerifiedPart.tsx';
import './library.css';

export { leaveRun, openRun, showAnew } from './openRun.ts';

export function LibraryView() {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    void askForRuns();
    title.current?.focus();
  }, []);
  const state = library.value;
  const has = state.kind === 'here' && state.runs.library !== 'none';
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
    <section class="library" aria-label="Library of recorded runs" tabIndex={0} data-testid="library">
      <header class="library-head">
        <h1 ref={title} tabIndex={-1}>
          Recorded runs
        </h1>
        {state.kind === 'here' && state.runs.library === 'record' && (
          <button type="button" data-testid="run-start" onClick={() => (asking.value = { kind: 'start' })}>
            Begin a new run…
          </button>
        )}
        {has && (
          <button
            type="button"
            data-testid="run-import"
            onClick={() => {
              if (importing.peek().kind === 'closed') importing.value = { kind: 'choosing' };
            }}
          >
            Import a recorded run…
          </button>
        )}
      </header>
      <Told />
      {asking.value.kind === 'start' && <NameForm />}
      {has && <ImportPart />}
      <VerifiedPart />
      <Runs />
    </section>
  );
}

/** What is being done, came of it, or was refused: one line, read aloud. */
function Told() {
  const open = opening.value;
  const work = doing.value;
  const refused = open.kind === 'refused' || work.kind === 'refused';
  return (
    <p class={`library-told${refused ? ' is-refused' : ''}`} aria-live="polite" data-testid="library-told">
      {open.kind === 'opening' && `Opening ${open.said}: the run is being read through…`}
      {open.kind === 'refused' && `Run ${open.said} cannot be opened: ${open.why}`}
      {open.kind === 'none' && work.kind === 'doing' && `${work.what}…`}
      {open.kind === 'none' && work.kind === 'done' && work.what}
      {open.kind === 'none' && work.kind === 'refused' && `${work.what} failed: ${work.why}`}
    </p>
  );
}

function Runs() {
  const state = library.value;
  switch (state.kind) {
    case 'asking':
      return <p class="library-empty">Asking for the runs…</p>;
    case 'failed':
      return (
        <p class="library-empty">
          There is no list: {state.why}.{' '}
          <button type="button" onClick={() => void askForRuns()}>
            Ask again
          </button>
        </p>
      );
    case 'here':
      if (state.runs.library === 'none') {
        return <p class="library-empty">Nothing is kept: the service was started without --data FOLDER.</p>;
      }
      if (state.runs.runs.length === 0) return <p class="library-empty">No run has been recorded or imported yet.</p>;
      return <RunTable runs={state.runs} />;
  }
}
