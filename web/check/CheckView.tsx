/** The check before the trip: what speaks against it first, then the numbers it stands on. Made to be printed too. */
import { useEffect, useRef } from 'preact/hooks';
import { type Check, SEVERITIES } from '../../src/check/checkSchema.ts';
import { Mark } from '../Mark.tsx';
import { recorded } from '../recorded.ts';
import { freshness, ingest, job, now, plan, unitSystem } from '../state.ts';
import { blindWords, judgementWords, phaseSentence } from '../status/statusWords.ts';
import { show } from '../view.ts';
import { Balls } from './Balls.tsx';
import { askForCheck, checkState } from './checkState.ts';
import { findingsToShow, SEVERITY_SAYINGS, SEVERITY_SIGNS, type Written, writtenIn } from './checkWords.ts';
import { Defaults } from './Defaults.tsx';
import { Findings } from './Findings.tsx';
import { FluidTests } from './FluidTests.tsx';
import { Hole } from './Hole.tsx';
import { Hydraulics } from './Hydraulics.tsx';
import { Roadmap } from './Roadmap.tsx';
import { SpaceOut } from './SpaceOut.tsx';
import './check.css';

export function CheckView() {
  const state = checkState.value;
  const inForce = plan.value;
  useEffect(() => void askForCheck(), [inForce]);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
    <section class="check-view" aria-label="Check before the trip" tabIndex={0} data-testid="check">
      {state.kind === 'ready' ? (
        <Ready check={state.check} />
      ) : (
        <p class="check-wait" data-testid="check-wait">
          {state.kind === 'asking' ? 'Working the plan out…' : `There is no check: ${state.why}.`}
        </p>
      )}
    </section>
  );
}

/** The parts in order; what the plan has nothing for is left out. */
const PARTS = [
  ['findings', 'Findings', () => true],
  ['roadmap', 'Joints', () => true],
  ['hydraulics', 'Hydraulics', ({ hydraulics }: Check) => hydraulics.rheology || hydraulics.circulations.length > 0],
  ['hole', 'Hole', ({ hole }: Check) => hole !== null],
  ['space-out', 'Space-out', ({ hole }: Check) => hole?.spaceOut != null],
  ['balls', 'Balls', ({ balls }: Check) => balls.length > 0],
  ['fluid', 'Fluid', ({ fluid }: Check) => fluid !== null],
  ['defaults', 'Defaults', ({ defaults }: Check) => defaults.length > 0],
] as const;

function Ready({ check }: { readonly check: Check }) {
  const written = writtenIn(check, unitSystem.value);
  return (
    <>
      <Head check={check} />
      <Findings check={check} written={written} />
      <Roadmap check={check} written={written} />
      <div class="check-columns">
        <div>
          <Hydraulics check={check} written={written} />
          <Balls check={check} written={written} />
          <FluidTests check={check} written={written} />
        </div>
        <div>
          <Hole check={check} written={written} />
          <SpaceOut check={check} written={written} />
        </div>
      </div>
      <Defaults check={check} />
      <p class="check-caution" data-testid="check-caution">
        {check.caution}
      </p>
    </>
  );
}

export interface PartProps {
  readonly check: Check;
  readonly written: Written;
}

function Head({ check }: { readonly check: Check }) {
  const findings = findingsToShow(check);
  // From here the keys scroll, and a reader begins.
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  return (
    <header class="check-head">
      <div class="check-title">
        <h1 ref={title} tabIndex={-1}>
          Check before the trip
        </h1>
        <p>
          {check.job.well} {check.job.rig}
        </p>
      </div>
      <p class="check-counts" data-testid="check-counts">
        {SEVERITIES.map((severity) => {
          const count = findings.filter((finding) => finding.severity === severity).length;
          return (
            <span key={severity} class={count === 0 ? 'is-none' : ''}>
              <Mark name={SEVERITY_SIGNS[severity]} size={22} /> <b>{count}</b>{' '}
              {SEVERITY_SAYINGS[severity].toLowerCase()}
            </span>
          );
        })}
      </p>
      <LiveLine />
      <nav class="check-parts" aria-label="Parts of the check">
        {PARTS.filter(([, , has]) => has(check)).map(([id, name]) => (
          <button type="button" key={id} onClick={() => goTo(id)}>
            {name}
          </button>
        ))}
        <button type="button" class="check-print" onClick={() => print()}>
          Print
        </button>
      </nav>
    </header>
  );
}

function goTo(id: string): void {
  const heading = document.getElementById(`check-${id}`);
  heading?.scrollIntoView({ block: 'start' });
  heading?.focus({ preventScroll: true });
}

/** Who reads the check must not miss what goes on. */
function LiveLine() {
  const state = now.value;
  const blind = blindWords(freshness.value, ingest.value);
  const spoken = blind ?? (state ? judgementWords(state) : null);
  const joint = state?.joint != null ? (job.value?.joints[state.joint]?.name ?? null) : null;
  return (
    <button
      type="button"
      class={`check-live tone-${spoken?.tone ?? 'blind'}`}
      data-testid="check-live"
      onClick={() => show('live')}
    >
      <span>{recorded.value ? 'Back to the run' : 'Back to live'}</span>
      {spoken && (
        <span class="check-live-says">
          <Mark name={spoken.tone} size={16} /> {state && !blind ? phaseSentence(state, joint) : ''} {spoken.headline}
        </span>
      )}
    </button>
  );
}
