/** The runs, newest first, a row each with what can be done with it. */
import type { ListedRunState, Runs } from '../../src/library/librarySchema.ts';
import { decimal, UNKNOWN } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { recorded } from '../recorded.ts';
import { asking, closeRun, doing, opening, reopenRun, verifyRun } from './libraryState.ts';
import { STATE_WORDS, sizeWords, spanOf, wholenessOf } from './libraryWords.ts';
import { NameForm } from './NameForm.tsx';
import { openRun } from './openRun.ts';

export function RunTable({ runs }: { readonly runs: Runs }) {
  return (
    <div class="library-wide">
      <table class="library-runs">
        <thead>
          <tr>
            <th>Run</th>
            <th>Well</th>
            <th>From, to (UTC)</th>
            <th class="number">Frames</th>
            <th class="number">Size</th>
            <th>Came from</th>
            <th>State</th>
            <th>What can be done</th>
          </tr>
        </thead>
        <tbody>
          {runs.runs.map((run) => (
            <RunRow key={run.id} run={run} runs={runs} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  readonly run: ListedRunState;
  readonly runs: Runs;
}

function RunRow({ run, runs }: RowProps) {
  const { from, to, clock } = spanOf(run);
  const { sign, words } = wholenessOf(run);
  const looked = recorded.value?.id === run.id;
  return (
    <tr class={looked ? 'is-open' : ''} data-testid={`run-${run.id}`} data-state={run.state}>
      <th scope="row">
        <span class="run-name">{run.name || UNKNOWN}</span>
        <span class="run-small">{run.id}</span>
      </th>
      <td>{run.well ?? UNKNOWN}</td>
      <td class="run-span">
        {from}
        <br />
        {to}
        {clock === 'ours' && <span class="run-small">by the service’s clock</span>}
      </td>
      <td class="number">{run.frames === null ? UNKNOWN : decimal(run.frames, 0)}</td>
      <td class="number">{sizeWords(run.bytes)}</td>
      <td>
        {run.source || UNKNOWN}
        <span class="run-small">{run.imported ? 'imported' : 'recorded live'}</span>
      </td>
      <td>
        {STATE_WORDS[run.state]}
        <span class="run-whole">
          <Mark name={sign} size={16} /> {words}
        </span>
      </td>
      <td>
        <Orders run={run} runs={runs} />
      </td>
    </tr>
  );
}

function Orders({ run, runs }: RowProps) {
  const ask = asking.value;
  if (ask.kind !== 'none' && ask.kind !== 'start' && ask.run.id === run.id) {
    return ask.kind === 'name' ? <NameForm run={run} /> : <Confirm run={run} runs={runs} kind={ask.kind} />;
  }
  const busy = doing.value.kind === 'doing' || opening.value.kind === 'opening';
  const isLive = run.state === 'recording';
  const mayReopen = runs.library === 'record' && run.state !== 'recording' && !run.imported;
  return (
    <div class="run-orders">
      <button
        type="button"
        class="is-first"
        data-testid={`open-${run.id}`}
        disabled={busy}
        onClick={() => void openRun(run.id)}
      >
        {isLive ? 'To live' : 'Open'}
      </button>
      <button type="button" disabled={busy} onClick={() => (asking.value = { kind: 'name', run })}>
        Name
      </button>
      {run.state !== 'closed' && (
        <button type="button" disabled={busy} onClick={() => (asking.value = { kind: 'close', run })}>
          Close
        </button>
      )}
      {mayReopen && (
        <button type="button" disabled={busy} onClick={() => (asking.value = { kind: 'reopen', run })}>
          Reopen
        </button>
      )}
      <button type="button" data-testid={`verify-${run.id}`} disabled={busy} onClick={() => void verifyRun(run)}>
        Verify
      </button>
      <a class="run-order" href={`/api/runs/${encodeURIComponent(run.id)}/backup`} download={`run-${run.id}.zip`}>
        Backup
      </a>
    </div>
  );
}

/** What ends a recording is said before it is done. */
function Confirm({ run, runs, kind }: RowProps & { readonly kind: 'close' | 'reopen' }) {
  const present = runs.runs.find(({ id, state }) => id === runs.present && state === 'recording');
  const says =
    kind === 'close'
      ? run.state === 'recording'
        ? 'Its recording ends; the rig is not recorded until a run is begun or reopened.'
        : 'It is sealed as it is.'
      : `The rig is recorded into it from now on${present ? `; ${present.name} is closed` : ''}.`;
  return (
    <div class="run-confirm">
      <p>{says}</p>
      <button
        type="button"
        class="is-first"
        data-testid={`confirm-${kind}`}
        disabled={doing.value.kind === 'doing'}
        onClick={() => void (kind === 'close' ? closeRun(run) : reopenRun(run))}
      >
        {kind === 'close' ? 'Close it' : 'Reopen it'}
      </button>
      <button type="button" onClick={() => (asking.value = { kind: 'none' })}>
        Leave it
      </button>
    </div>
  );
}
