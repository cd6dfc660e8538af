/** Below the strip: what happens at the tool and not at the surface. A cell stands only where there is something to tell. */
import type { ComponentChildren } from 'preact';
import type { Now } from '../../src/live/messages.ts';
import type { Step } from '../../src/steps.ts';
import { figure, unitLabel } from '../figures.ts';
import { openDialog } from '../frame/dialogs.ts';
import { Mark } from '../Mark.tsx';
import { freshness, ingest, job, notWorkedOut, now, steps, unitSystem } from '../state.ts';
import { blindWords } from '../status/statusWords.ts';
import { OfferCell } from './OfferCell.tsx';
import { OUTCOME_SAYINGS, OUTCOME_SIGNS, shortened, stepDetail, stepInSight, stepTitle } from './stepWords.ts';
import { CORRECTED_SAYINGS, finishInWords, lossesInWords, sigmaInWords, signed } from './toolWords.ts';

export function ToolBar() {
  const state = now.value;
  if (!state) return null;
  const blind = blindWords(freshness.value, ingest.value) !== null;
  const { offer } = state.depthAtTool;
  return (
    <section class={`tool-bar${blind ? ' is-blind' : ''}`} aria-label="At the tool">
      <PressureCell state={state} />
      {offer ? <OfferCell offer={offer} /> : <DepthCell state={state} />}
      <WeightCell state={state} />
      {!offer && <FinishCell state={state} />}
      <StepsCell />
    </section>
  );
}

/** Of the name of a step, which stands larger than what is said of it. */
const STEP_CHARS = 28;

const rigOffsetMs = (): number => job.value?.stream.utcOffsetMs ?? 0;

interface CellProps {
  readonly name: string;
  readonly title: string;
  readonly note?: ComponentChildren;
  readonly children: ComponentChildren;
}

function Cell({ name, title, note, children }: CellProps) {
  return (
    <div class={`tool-cell tool-${name}`} data-testid={`tool-${name}`}>
      <h2>{title}</h2>
      <p class="tool-figures">{children}</p>
      {note && <p class="tool-note">{note}</p>}
    </div>
  );
}

interface StateProps {
  readonly state: Now;
}

/** Both estimates side by side: where they part, one of them is told something wrong. */
function PressureCell({ state }: StateProps) {
  const pressure = state.toolPressure;
  const system = unitSystem.value;
  if (!pressure) return <PressureUnknown />;
  const of = (kpa: number | null) => figure('pressure', kpa, system);
  const path = pressure.path ? `, ${pressure.path} path open` : '';
  return (
    <Cell
      name="pressure"
      title={`Pressure at the tool, ${unitLabel('pressure', system)}`}
      note={lossesInWords(pressure, state.standpipePressure, rigOffsetMs()) + path}
    >
      <span>
        <b class="live">{of(pressure.fromStandpipe)}</b>
        {pressure.sigma !== null && ` ± ${of(pressure.sigma)}`} <small>from standpipe</small>
      </span>
      <span>
        <b class="live">{of(pressure.fromFlow)}</b> <small>from flow</small>
      </span>
    </Cell>
  );
}

/** Nothing is left out silently: which part of the plan it needs stands where the figure would. */
function PressureUnknown() {
  const line = notWorkedOut.value.find((one) => one.startsWith('pressure at the tool'));
  if (!line) return null;
  return (
    <Cell name="pressure" title="Pressure at the tool" note={line.slice(line.indexOf(':') + 2)}>
      <span>not worked out</span>
    </Cell>
  );
}

function DepthCell({ state }: StateProps) {
  const { sigma, stretch, corrected } = state.depthAtTool;
  const system = unitSystem.value;
  return (
    <Cell
      name="depth"
      title={`Depth at the tool, ${unitLabel('length', system)}`}
      note={
        <>
          <Mark name={corrected === 'not corrected' ? 'open' : 'done'} size={13} /> {CORRECTED_SAYINGS[corrected]}
        </>
      }
    >
      <span>
        <b class="live">{sigmaInWords(sigma, system) || 'not known'}</b>
      </span>
      <span>
        <small>stretch</small> <b class="live">{signed(stretch, system)}</b>
      </span>
    </Cell>
  );
}

function WeightCell({ state }: StateProps) {
  const system = unitSystem.value;
  if (state.setDown === null && state.torqueOnTool === null) return null;
  return (
    <Cell name="weight" title="On the tool" note="against free rotation">
      <span>
        <b class="live">{figure('force', state.setDown, system)}</b> <small>{unitLabel('force', system)}</small>
      </span>
      <span>
        <b class="live">{figure('torque', state.torqueOnTool, system)}</b> <small>{unitLabel('torque', system)}</small>
      </span>
    </Cell>
  );
}

function FinishCell({ state }: StateProps) {
  const { joint, trip } = state.finish;
  if (!joint && !trip) return null;
  const name = state.joint === null ? 'joint' : (job.value?.joints[state.joint]?.name ?? 'joint');
  const when = (range: typeof joint) => finishInWords(range, state.sourceMs, rigOffsetMs());
  return (
    <Cell
      name="finish"
      title="Done by, rig time"
      note={
        <>
          trip <b class="live">{when(trip)}</b>
        </>
      }
    >
      <span>
        <small>{name}</small> <b class="live">{when(joint)}</b>
      </span>
    </Cell>
  );
}

/** The step underway, or the last one; all of them are a press away. */
function StepsCell() {
  const step = stepInSight(steps.value);
  const balls = job.value?.engineering.balls.length ?? 0;
  if (!step && balls === 0) return null;
  const open = step?.outcome === 'open';
  return (
    <button
      type="button"
      class={`tool-cell tool-steps${open ? ' is-open' : ''}`}
      data-testid="tool-steps"
      data-outcome={step?.outcome ?? 'none'}
      onClick={() => (openDialog.value = 'steps')}
      title="All steps (G)"
    >
      {step ? (
        <StepInSight step={step} />
      ) : (
        <>
          <span class="tool-title">Steps</span>
          <span class="tool-step">None seen yet</span>
          <span class="tool-note">{balls === 1 ? 'one ball' : `${balls} balls`} in the plan</span>
        </>
      )}
    </button>
  );
}

function StepInSight({ step }: { readonly step: Step }) {
  const open = step.outcome === 'open';
  const says = OUTCOME_SAYINGS[step.outcome];
  return (
    <>
      <span class="tool-title">
        Steps, {steps.value.length}: {open ? 'one underway' : 'the last'}
      </span>
      <span class="tool-step">
        <Mark name={OUTCOME_SIGNS[step.outcome]} size={18} /> <b>{shortened(stepTitle(step), STEP_CHARS)}</b>
      </span>
      <span class="tool-note">{open ? shortened(stepDetail(step.detail, unitSystem.value)) || says : says}</span>
    </>
  );
}
