/** Expanding now? Where? Is it good? In words first, then the readings against what they should be. */
import type { Now } from '../../src/live/messages.ts';
import { ageParts, figure, UNKNOWN, unitLabel } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { recorded } from '../recorded.ts';
import { isReplay } from '../replay/replayState.ts';
import { freshness, ingest, job, now, unitSystem } from '../state.ts';
import { feedPerTurnInWords, sigmaInWords } from '../tool/toolWords.ts';
import { Instrument } from './Instrument.tsx';
import { blindWords, judgementWords, phaseSentence } from './statusWords.ts';

export function StatusStrip() {
  const blind = blindWords(freshness.value, ingest.value);
  return (
    <section class={`strip${blind ? ' is-blind' : ''}${now.value ? '' : ' is-empty'}`} aria-label="Now">
      <Say />
      <Done />
      <Pressure />
      <Instrument
        name="feed"
        label="Feed"
        quantity="feed"
        read={(n) => n.feed}
        bounds={(n) => ({ min: null, max: n.bounds.feedMax })}
        more={feedPerTurnInWords}
        moreIsBad={(n) => n.judgement.causes.includes('high feed per turn')}
      />
      <Instrument
        name="rotation"
        label="Rotation"
        quantity="rotation"
        read={(n) => n.rotation}
        bounds={(n) => ({ min: n.bounds.rpmMin, max: null })}
      />
      <Instrument
        name="torque"
        label="Torque"
        quantity="torque"
        read={(n) => n.torque}
        bounds={(n) => ({ min: null, max: n.bounds.torqueMax })}
      />
      <Age />
    </section>
  );
}

/** The pressure that the recipe is judged by; the other one stands below it, smaller. */
function Pressure() {
  const atTool = now.value?.bounds.pressureAt === 'tool';
  const fromStandpipe = (n: Now): number | null => n.toolPressure?.fromStandpipe ?? null;
  return (
    <Instrument
      name="pressure"
      label={atTool ? 'Tool pressure' : 'Standpipe pressure'}
      quantity="pressure"
      read={(n) => (atTool ? fromStandpipe(n) : n.standpipePressure)}
      bounds={(n) => ({ min: n.bounds.pressureMin, max: n.bounds.pressureMax })}
      more={(n, system) => {
        if (atTool) return `standpipe ${figure('pressure', n.standpipePressure, system)}`;
        return n.toolPressure ? `at the tool ${figure('pressure', fromStandpipe(n), system)}` : '';
      }}
    />
  );
}

/** From so many letters on a phase with the name of its joint is set smaller: where the tool is must not be cut off. */
const LONG_CHARS = 22;
const VERY_LONG_CHARS = 26;

function Say() {
  const state = now.value;
  const blind = blindWords(freshness.value, ingest.value);
  const spoken = blind ?? (state ? judgementWords(state) : null);
  const joint = state?.joint != null ? (job.value?.joints[state.joint]?.name ?? null) : null;
  const phase = state ? phaseSentence(state, joint) : 'Nothing known yet';
  const long = phase.length > LONG_CHARS ? ` is-long${phase.length > VERY_LONG_CHARS ? ' is-very-long' : ''}` : '';
  return (
    <div class={`say tone-${spoken?.tone ?? 'blind'}`}>
      <p class={`say-phase${blind ? ' is-old' : ''}${long}`} data-testid="phase" title={phase}>
        {phase}
      </p>
      <Where />
      {spoken && (
        <p class="say-judgement" data-testid="judgement" data-state={blind ? 'blind' : state?.judgement.state}>
          <Mark name={spoken.tone} size={30} />
          <span>
            <strong>{spoken.headline}</strong> <span class="say-detail">{spoken.detail}</span>
          </span>
        </p>
      )}
    </div>
  );
}

/** The tool that is, or will next be, at work, and how deep it is; without one, the end of the string. */
function Where() {
  const state = now.value;
  const tool = state?.tool != null ? job.value?.tools[state.tool] : undefined;
  const depth = tool ? state?.toolDepths[tool.index] : state?.endDepth;
  const sigma = tool ? sigmaInWords(state?.depthAtTool.sigma ?? null, unitSystem.value) : '';
  return (
    <p class="say-where">
      {state ? (
        <>
          {tool ? `${tool.name} tool` : 'string end'} at{' '}
          <b class="live" data-testid="depth">
            {figure('length', depth, unitSystem.value)}
          </b>{' '}
          {sigma && <span data-testid="depth-sigma">{sigma} </span>}
          {unitLabel('length', unitSystem.value)}
        </>
      ) : (
        '\u00a0'
      )}
    </p>
  );
}

function Done() {
  const state = now.value;
  const system = unitSystem.value;
  const required = state?.requiredM ?? job.value?.requiredM ?? null;
  const share = state && state.requiredM > 0 ? Math.min(1, state.expandedM / state.requiredM) : 0;
  return (
    <div class="reading done">
      <h2>Expanded, {unitLabel('length', system)}</h2>
      <p class="reading-number">
        <b data-testid="done-metres">{figure('length', state?.expandedM, system, 1)}</b>
      </p>
      <div class="bar" role="img" aria-label={`${Math.floor(share * 100)} percent of the required length`}>
        <i style={{ width: `${share * 100}%` }} />
      </div>
      <p class="reading-note">of {figure('length', required, system, 1)} required</p>
    </div>
  );
}

/** What is over has no age to watch: that it is over must be seen. */
function ReplayAge() {
  return (
    <div class="reading age" data-testid="age" data-state="replay">
      <h2>Age of data</h2>
      <p class="reading-number">
        <b>{UNKNOWN}</b>
      </p>
      <p class="reading-note">{recorded.value ? 'recorded, not live' : 'replay, not now'}</p>
    </div>
  );
}

function Age() {
  const state = freshness.value;
  const { number, unit } = ageParts(state.kind === 'nothing yet' ? Number.NaN : state.ageS);
  const gapAfterMs = job.value?.stream.gapAfterMs;
  if (isReplay.value) return <ReplayAge />;
  return (
    <div class={`reading age age-${state.kind.replaceAll(' ', '-')}`} data-testid="age" data-state={state.kind}>
      <h2>Age of data</h2>
      <p class="reading-number">
        <b>{number}</b>
        <span class="unit">{unit}</span>
      </p>
      <p class="reading-note">{gapAfterMs === undefined ? '\u00a0' : `old after ${gapAfterMs / 1000} s`}</p>
    </div>
  );
}
