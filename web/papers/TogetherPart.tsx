/** The runs of the library side by side: how joints of one kind were expanded, and which one is unlike its kind. */
import { useSignal, useSignalEffect } from '@preact/signals';
import { MEASURES, type MeasureName } from '../../src/together/measures.ts';
import { GROUPINGS, type Together } from '../../src/together/togetherSchema.ts';
import { UNKNOWN } from '../figures.ts';
import { unitSystem } from '../state.ts';
import { measureText, measureUnit, whyOdd } from './measureText.ts';
import { RunChoice } from './RunChoice.tsx';
import { askTogether, chosenRuns, type TogetherState, togetherState } from './togetherState.ts';
import './shift.css';

type Grouping = (typeof GROUPINGS)[number];
const SAYS: Readonly<Record<Grouping, string>> = {
  kind: 'joint kind',
  zone: 'zone',
  caliper: 'class of the hole',
  run: 'run',
};
/** In the order of the table. */
const SHOWN: readonly MeasureName[] = [
  'feed',
  'stalls',
  'lowPressure',
  'connectionMinutes',
  'coverage',
  'minutes',
  'pressure',
];

export function TogetherPart() {
  useSignalEffect(() => askTogether(chosenRuns.value));
  const by = useSignal<Grouping>('kind');
  const state = togetherState.value;
  return (
    <div class="together-runs">
      <RunChoice />
      <Waiting state={state} />
      {state.kind === 'here' && (
        <>
          <Odd together={state.answer.together} />
          <fieldset class="shift-keys" aria-label="By what joints are parted">
            {GROUPINGS.map((one) => (
              <button
                key={one}
                type="button"
                aria-pressed={by.value === one}
                data-testid={`by-${one}`}
                onClick={() => (by.value = one)}
              >
                By {SAYS[one]}
              </button>
            ))}
          </fieldset>
          <Groups together={state.answer.together} by={by.value} />
          <Joints together={state.answer.together} />
        </>
      )}
    </div>
  );
}

function Waiting({ state }: { readonly state: TogetherState }) {
  if (state.kind === 'asking') return <p class="papers-wait">Counting the runs…</p>;
  if (state.kind === 'failed') return <p class="papers-wait is-refused">There is nothing to compare: {state.why}</p>;
  const { pending, refused, runsLeftOut } = state.answer;
  return (
    <div role="status" data-testid="together-told">
      {pending.length > 0 && <p>{pending.length} still being counted: they come when they are.</p>}
      {refused.map(({ run, why }) => (
        <p class="is-refused" key={run}>
          Run {run} is not in it: {why}
        </p>
      ))}
      {runsLeftOut > 0 && <p>{runsLeftOut} runs found no room: choose fewer.</p>}
    </div>
  );
}

const nameIn = ({ runs }: Together, id: string): string => runs.find((run) => run.id === id)?.name ?? id;

function Odd({ together }: { readonly together: Together }) {
  return (
    <section class="shift-card" aria-label="Unlike their kind">
      <h2>Unlike their kind</h2>
      {together.odd.length === 0 && <p data-testid="odd-none">No joint is.</p>}
      <ul data-testid="odd">
        {together.odd.map((one) => (
          <li key={`${one.run} ${one.joint} ${one.measure}`}>
            <b>
              {one.joint}, {one.kind}, run {nameIn(together, one.run)}
            </b>
            : {whyOdd(one, unitSystem.value)}
          </li>
        ))}
      </ul>
      {together.oddLeftOut > 0 && <p>and {together.oddLeftOut} more</p>}
      <p class="is-soft">By {together.rule}; differences too small to matter are left out.</p>
    </section>
  );
}

const Heads = () => (
  <>
    {SHOWN.map((measure) => (
      <th scope="col" class="number" key={measure}>
        {MEASURES[measure].says}
        {measureUnit(measure, unitSystem.value) && <span>{measureUnit(measure, unitSystem.value)}</span>}
      </th>
    ))}
  </>
);

function Groups({ together, by }: { readonly together: Together; readonly by: Grouping }) {
  const groups = together.groups.filter((one) => one.by === by);
  if (groups.length === 0)
    return <p data-testid="groups-none">No joint has one: nothing is known of the {SAYS[by]}.</p>;
  return (
    <div class="shift-wide">
      <table class="shift-table" data-testid="groups">
        <caption>By {SAYS[by]}: median, and least to most</caption>
        <thead>
          <tr>
            <th scope="col">Kind</th>
            {by !== 'kind' && <th scope="col">{SAYS[by]}</th>}
            <th scope="col" class="number">
              Joints
            </th>
            <Heads />
          </tr>
        </thead>
        <tbody>
          {groups.map(({ kind, name, joints, spreads }) => (
            <tr key={`${kind} ${name}`}>
              <th scope="row">{kind}</th>
              {by !== 'kind' && <td>{by === 'run' ? nameIn(together, name) : name}</td>}
              <td class="number">{joints}</td>
              {SHOWN.map((measure) => (
                <td class="number" key={measure}>
                  <Spread spread={spreads[measure] ?? null} measure={measure} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

type Spreads = Together['groups'][number]['spreads'];

function Spread({ spread, measure }: { readonly spread: Spreads[MeasureName]; readonly measure: MeasureName }) {
  if (!spread) return <>{UNKNOWN}</>;
  const text = (value: number): string => measureText(measure, value, unitSystem.value);
  return (
    <>
      <b>{text(spread.median)}</b>
      <span>
        {text(spread.least)} to {text(spread.most)}
      </span>
    </>
  );
}

/** Rows of joints that are drawn; the rest are in the files of their runs. */
const MOST_JOINTS = 400;

function Joints({ together }: { readonly together: Together }) {
  const odd = new Map<string, MeasureName[]>();
  for (const { run, joint, measure } of together.odd)
    odd.set(`${run} ${joint}`, [...(odd.get(`${run} ${joint}`) ?? []), measure]);
  const left = together.joints.length + together.jointsLeftOut - Math.min(MOST_JOINTS, together.joints.length);
  return (
    <div class="shift-wide">
      <table class="shift-table" data-testid="together-joints">
        <caption>Joint by joint; what is unlike its kind is marked ◆</caption>
        <thead>
          <tr>
            <th scope="col">Run</th>
            <th scope="col">Joint</th>
            <th scope="col">Kind</th>
            <th scope="col">Zone</th>
            <th scope="col">Hole</th>
            <th scope="col">Verdict</th>
            <Heads />
          </tr>
        </thead>
        <tbody>
          {together.joints.slice(0, MOST_JOINTS).map(({ run, joint, kind, zone, caliper, verdict, values }) => (
            <tr key={`${run} ${joint}`}>
              <td>{nameIn(together, run)}</td>
              <th scope="row" class={odd.has(`${run} ${joint}`) ? 'is-odd' : ''}>
                {odd.has(`${run} ${joint}`) && '◆ '}
                {joint}
              </th>
              <td>{kind}</td>
              <td>{zone ?? UNKNOWN}</td>
              <td>{caliper ?? UNKNOWN}</td>
              <td>{verdict}</td>
              {SHOWN.map((measure) => {
                const isOdd = odd.get(`${run} ${joint}`)?.includes(measure);
                return (
                  <td class={`number${isOdd ? ' is-odd' : ''}`} key={measure}>
                    {isOdd && '◆ '}
                    {measureText(measure, values[measure] ?? null, unitSystem.value)}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
      {left > 0 && <p>and {left} more joints</p>}
    </div>
  );
}
