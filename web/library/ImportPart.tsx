/** A recorded stream taken in: the files, what was understood of them, and only then a run. */
import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { LIBRARY_LIMITS, type Understood } from '../../src/library/librarySchema.ts';
import { decimal, UNKNOWN } from '../figures.ts';
import { saysOf } from './askLibrary.ts';
import { beginArchive, beginImport, giveUpImport, importing, keepImport } from './importState.ts';
import { understoodWords } from './libraryWords.ts';
import { openRun } from './openRun.ts';

export function ImportPart() {
  const state = importing.value;
  if (state.kind === 'closed') return null;
  return (
    <section class="library-part" aria-label="Import of a recorded run" data-testid="import">
      <h2>Import of a recorded run</h2>
      {state.kind === 'choosing' && (
        <>
          <Choose />
          <ChooseArchive />
        </>
      )}
      {state.kind === 'working' && <Working what={state.what} share={state.share} />}
      {state.kind === 'understood' && <Seen id={state.id} file={state.file} understood={state.understood} />}
      {state.kind === 'kept' && <Kept run={state.run} name={state.name} />}
      {state.kind === 'refused' && <Refused why={state.why} />}
    </section>
  );
}

const Leave = ({ says }: { readonly says: string }) => (
  <button type="button" onClick={giveUpImport}>
    {says}
  </button>
);

function Choose() {
  const stream = useRef<HTMLInputElement>(null);
  const plan = useRef<HTMLInputElement>(null);
  const channels = useRef<HTMLInputElement>(null);
  const journal = useRef<HTMLInputElement>(null);
  const lacks = useSignal(false);
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const fileOf = (field: typeof stream) => field.current?.files?.[0] ?? null;
    const more = { channels: fileOf(channels), journal: fileOf(journal) };
    const chosen = { stream: fileOf(stream), plan: fileOf(plan), ...more };
    if (chosen.stream && chosen.plan) void beginImport({ ...chosen, stream: chosen.stream, plan: chosen.plan });
    else lacks.value = true;
  };
  return (
    <form class="import-choose" onSubmit={submit}>
      <label>
        <b>Recorded stream</b>
        <span>WITS level 0, CSV, LAS 2.0 or a WITSML 1.4.1.1 log; told by its content</span>
        <input ref={stream} type="file" data-testid="import-stream" />
      </label>
      <label>
        <b>Plan</b>
        <span>The plan of the trip, jointwise-plan/1</span>
        <input ref={plan} type="file" accept=".json,application/json" data-testid="import-plan" />
      </label>
      <label>
        <b>Channel map, where there is one</b>
        <span>Which column feeds which channel, jointwise-channels/1</span>
        <input ref={channels} type="file" accept=".json,application/json" data-testid="import-channels" />
      </label>
      <label>
        <b>Journal, where there is one</b>
        <span>What people did on the trip, JSON Lines: it becomes the journal of the run</span>
        <input ref={journal} type="file" data-testid="import-journal" />
      </label>
      {lacks.value && <p class="library-refused">A stream and a plan are needed.</p>}
      <p class="import-keys">
        <button type="submit" class="is-first" data-testid="import-read">
          Read it
        </button>
        <Leave says="Leave it" />
      </p>
    </form>
  );
}

function Working({ what, share }: { readonly what: string; readonly share: number }) {
  return (
    <div class="import-working">
      <label>
        {what}, {decimal(Math.floor(100 * share), 0)} %<progress value={share} max={1} data-testid="import-progress" />
      </label>
      <Leave says="Stop" />
    </div>
  );
}

function Refused({ why }: { readonly why: string }) {
  return (
    <>
      <p class="library-refused" role="alert" data-testid="import-refused">
        {why}
      </p>
      <p class="import-keys">
        <button type="button" class="is-first" onClick={() => (importing.value = { kind: 'choosing' })}>
          Choose again
        </button>
        <Leave says="Leave it" />
      </p>
    </>
  );
}

/** Of the same run, as another installation put it away. */
function ChooseArchive() {
  const take = (event: Event) => {
    const file = (event.currentTarget as HTMLInputElement).files?.[0];
    if (file) void beginArchive(file);
  };
  return (
    <form class="import-choose">
      <label>
        <b>Or the archive of a run</b>
        <span>A zip that was downloaded, or written by the verb archive: checked, and kept as it was</span>
        <input type="file" accept=".zip,application/zip" onChange={take} data-testid="import-archive" />
      </label>
    </form>
  );
}

interface SeenProps {
  readonly id: string;
  readonly file: string;
  readonly understood: Understood;
}

function Seen({ id, file, understood }: SeenProps) {
  const name = useSignal(file.replace(/\.[^.]*$/, ''));
  const why = useSignal<string | null>(null);
  const { columns, not, plan, entries } = understood;
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    keepImport(id, name.peek().trim()).catch((fault: unknown) => {
      why.value = saysOf(fault);
    });
  };
  return (
    <div data-testid="import-preview">
      <p class="import-sum">
        {understoodWords(understood)}. Plan: {plan.well ?? 'no well named'}, {plan.joints} joints.
        {entries > 0 && ` Journal: ${decimal(entries, 0)} ${entries === 1 ? 'entry' : 'entries'}.`}
      </p>
      <form class="run-confirm" onSubmit={keep}>
        <label>
          Name of the run{' '}
          <input
            data-testid="import-name"
            value={name.value}
            maxLength={LIBRARY_LIMITS.nameChars}
            onInput={(event) => (name.value = event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="is-first" data-testid="import-keep">
          Keep it as a run
        </button>
        <Leave says="Give it up" />
        {why.value !== null && <p class="library-refused">{why.value}</p>}
      </form>
      <div class="import-columns">
        <div>
          <h3>Understood</h3>
          <table class="plain">
            <thead>
              <tr>
                <th>Column</th>
                <th>Unit</th>
                <th>Feeds</th>
                <th class="number">Values</th>
              </tr>
            </thead>
            <tbody>
              {columns
                .filter(({ feeds }) => feeds !== null)
                .map(({ name: column, unit, feeds, unitFrom, values }) => (
                  <tr key={column}>
                    <td>{column}</td>
                    <td>
                      {unit || UNKNOWN}
                      {unitFrom === 'assumed' && unit !== '' ? ' (assumed)' : ''}
                    </td>
                    <td>{feeds}</td>
                    <td class="number">{values === null ? '' : decimal(values, 0)}</td>
                  </tr>
                ))}
            </tbody>
          </table>
        </div>
        <div data-testid="import-not">
          <h3>Not understood, refused, assumed</h3>
          <NotList lines={[...not, ...columnsNot(understood), ...plan.warnings]} />
        </div>
      </div>
    </div>
  );
}

/** Columns that feed nothing and of which nothing else was said. */
const columnsNot = ({ columns, not }: Understood): string[] =>
  columns
    .filter(({ name, feeds }) => feeds === null && !not.some((line) => line.includes(name)))
    .map(({ name }) => `column ${name}: feeds no channel`);

function NotList({ lines }: { readonly lines: readonly string[] }) {
  if (lines.length === 0) return <p>Everything was understood.</p>;
  return (
    <ul class="library-lines">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  );
}

function Kept({ run, name }: { readonly run: string; readonly name: string }) {
  const open = () => {
    importing.value = { kind: 'closed' };
    void openRun(run);
  };
  return (
    <p class="import-keys" data-testid="import-kept">
      <span>{name} is in the library.</span>
      <button type="button" class="is-first" data-testid="import-open" onClick={open}>
        Open it
      </button>
      <Leave says="Done" />
    </p>
  );
}
