/** Any two of the run as recorded, the scenarios that are kept and the other runs: side by side on depth or on joint. */
import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { compileJob, type Job } from '../../src/plan/job.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { recorded } from '../recorded.ts';
import { Swatch } from '../replay/PassesDialog.tsx';
import { runName } from '../state.ts';
import { EventChanges } from '../whatIf/EventChanges.tsx';
import { LinkField } from '../whatIf/LinkField.tsx';
import {
  BESIDE_VIEWS,
  type BesideView,
  besideInAddress,
  besideLink,
  isScenario,
  ORIGINAL,
  otherRuns,
  type Placed,
  placeBeside,
  placed,
  refreshRuns,
  type SideName,
  sideWords,
  wanted,
} from './besideState.ts';
import { DepthFigure, type FigureSide } from './DepthFigure.tsx';
import { type JointRange, windowOf } from './depthRange.ts';
import { JointsBesideTable } from './JointsBesideTable.tsx';
import { keptOnes, refreshKept } from './keptScenarios.ts';
import { RangeChoice } from './RangeChoice.tsx';
import { usePasses } from './usePasses.ts';
import './beside.css';

export function BesideDialog() {
  const open = openDialog.value === 'beside';
  useEffect(() => {
    if (open) void begin();
    // Another run has been put onto the screen: what stands in the address is asked of that one.
  }, [open, recorded.value]);
  return (
    <Dialog name="beside" title="Side by side">
      <div class="beside">
        <Choices />
        <Answer />
      </div>
    </Dialog>
  );
}

async function begin(): Promise<void> {
  const linked = besideInAddress();
  if (linked) wanted.value = linked;
  await refreshKept();
  await refreshRuns().catch((fault: unknown) => console.info(`runs: ${String(fault)}`));
  const { a, b } = wanted.peek();
  const first = keptOnes.peek()[0];
  // Nobody has chosen yet: the first that there is stands beside the run.
  if (a === b && first) wanted.value = { ...wanted.peek(), a: ORIGINAL, b: `s${first.id}` };
  else if (a === b && otherRuns.peek()[0]) wanted.value = { ...wanted.peek(), b: `r${otherRuns.peek()[0]!.id}` };
  await placeBeside();
}

function choose(to: Partial<typeof wanted.value>): void {
  const before = wanted.peek();
  wanted.value = { ...before, ...to };
  history.replaceState(null, '', besideLink(wanted.peek()));
  if (wanted.peek().a !== before.a || wanted.peek().b !== before.b) void placeBeside();
}

const SAYINGS: Readonly<Record<BesideView, string>> = { depth: 'On depth', joint: 'On joint' };

function Choices() {
  const { a, b, view } = wanted.value;
  return (
    <div class="depth-choices">
      <SideChoice sign="A" value={a} onChoose={(side) => choose({ a: side })} />
      <button type="button" class="swap" aria-label="Change sides" onClick={() => choose({ a: b, b: a })}>
        ⇄
      </button>
      <SideChoice sign="B" value={b} onChoose={(side) => choose({ b: side })} />
      <fieldset class="time-group" aria-label="Looked at">
        {BESIDE_VIEWS.map((each) => (
          <button
            key={each}
            type="button"
            data-testid={`beside-${each}`}
            aria-pressed={view === each}
            onClick={() => choose({ view: each })}
          >
            {SAYINGS[each]}
          </button>
        ))}
      </fieldset>
      <LinkField hash={besideLink(wanted.value)} />
    </div>
  );
}

interface SideChoiceProps {
  readonly sign: 'A' | 'B';
  readonly value: SideName;
  readonly onChoose: (side: SideName) => void;
}

function SideChoice({ sign, value, onChoose }: SideChoiceProps) {
  const sides = [ORIGINAL, ...keptOnes.value.map(({ id }) => `s${id}`), ...otherRuns.value.map(({ id }) => `r${id}`)];
  return (
    <label class={`side-choice side-${sign}`}>
      <b>{sign}</b>{' '}
      <select
        data-testid={`side-${sign}`}
        value={value}
        onChange={({ currentTarget }) => onChoose(currentTarget.value)}
      >
        {(sides.includes(value) ? sides : [...sides, value]).map((side) => (
          <option key={side} value={side}>
            {sideWords(side)}
          </option>
        ))}
      </select>
    </label>
  );
}

function Answer() {
  const state = placed.value;
  switch (state.kind) {
    case 'choosing':
      return (
        <p class="beside-empty">
          Choose another for one of the two. Scenarios come from “What if” (W), kept there for everyone; other runs from
          the data folder.
        </p>
      );
    case 'working':
      return <p class="beside-empty">Counting both…</p>;
    case 'refused':
      return (
        <p class="beside-empty" data-testid="beside-refused">
          <b>They cannot stand beside each other.</b> {state.why}
        </p>
      );
    case 'here':
      return <Here state={state} />;
  }
}

function Here({ state }: { readonly state: Extract<Placed, { kind: 'here' }> }) {
  const { a, b } = state.beside;
  const jobs = useMemo(() => [compileJob(a.plan), compileJob(b.plan)] as const, [a.plan, b.plan]);
  const { view } = wanted.value;
  return (
    <>
      <Labels />
      {view === 'joint' ? (
        <>
          <JointsBesideTable
            a={{ job: jobs[0], joints: a.joints }}
            b={{ job: jobs[1], joints: b.joints }}
            beside={state.beside.joints}
          />
          {state.beside.comparison && <EventChanges comparison={state.beside.comparison} />}
        </>
      ) : (
        <OnDepth state={state} jobs={jobs} />
      )}
    </>
  );
}

/** Never without: what is counted under changes is not the record of a run. */
function Labels() {
  const { a, b } = wanted.value;
  return (
    <ul class="beside-labels" data-testid="beside-labels">
      {([a, b] as const).map((side, i) => (
        <li key={i} class={isScenario(side) ? 'is-scenario' : ''}>
          <b>{i === 0 ? 'A' : 'B'}</b> <Swatch kind={`is-last${i > 0 ? ' is-second' : ''}`} /> {sideWords(side)}
          {side === ORIGINAL && ` (${runName.value ?? 'the run'})`}
          {isScenario(side) && <i> Not the record of the run.</i>}
        </li>
      ))}
    </ul>
  );
}

/** The dialog's own rows above, and the least that can be read, px. */
const ROWS_PX = 268;
const LEAST_PX = 440;
type Zero = 'surface' | 'liner top';

const topOf = ({ joints }: Job): number => joints[0]!.top;
const bottomOf = ({ joints }: Job): number => joints[joints.length - 1]!.bottom;

/** Liners that share less than half of the shorter one's depth are laid top on top. */
function usualZero([a, b]: readonly [Job, Job]): Zero {
  const shared = Math.min(bottomOf(a), bottomOf(b)) - Math.max(topOf(a), topOf(b));
  return shared < Math.min(bottomOf(a) - topOf(a), bottomOf(b) - topOf(b)) / 2 ? 'liner top' : 'surface';
}

interface OnDepthProps {
  readonly state: Extract<Placed, { kind: 'here' }>;
  readonly jobs: readonly [Job, Job];
}

function OnDepth({ state: { asked, beside }, jobs }: OnDepthProps) {
  const range = useSignal<JointRange>(null);
  const zero = useSignal<Zero>(usualZero(jobs));
  const origins = jobs.map((job) => (zero.value === 'surface' ? 0 : topOf(job)));
  const whole = windowOf(jobs[0], range.value);
  const from = whole.from - origins[0]!;
  const to = whole.to - origins[0]!;
  // The whole is that of the longer liner.
  const window =
    range.value !== null
      ? { from, to }
      : { from: Math.min(from, topOf(jobs[1]) - origins[1]!), to: Math.max(to, bottomOf(jobs[1]) - origins[1]!) };
  const passes = usePasses(
    asked.map((side, i) => ({ side, window: { from: window.from + origins[i]!, to: window.to + origins[i]! } })),
  ).value;
  const sides = jobs.map(
    (job, i): FigureSide => ({
      job,
      joints: (i === 0 ? beside.a : beside.b).joints,
      passes: passes.kind === 'here' ? passes.of[i]! : [],
      originM: origins[i]!,
    }),
  );
  return (
    <>
      <div class="depth-choices">
        <RangeChoice job={jobs[0]} range={range} />
        <label>
          depth from{' '}
          <select
            data-testid="zero"
            value={zero.value}
            onChange={({ currentTarget }) => (zero.value = currentTarget.value as Zero)}
          >
            <option>surface</option>
            <option>liner top</option>
          </select>
        </label>
        {passes.kind === 'refused' && <p role="status">{passes.why}</p>}
      </div>
      <DepthFigure
        sides={sides}
        liners="apart"
        window={window}
        height={Math.max(LEAST_PX, innerHeight - ROWS_PX)}
        pairs={beside.joints.pairs}
        beside="tracks"
      />
    </>
  );
}
