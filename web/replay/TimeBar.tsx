/** The time bar: the whole run at a glance, and the keys to go to any instant of it and back. */

import { rigDate, rigTime, UNKNOWN } from '../figures.ts';
import { openDialog } from '../frame/dialogs.ts';
import { recorded } from '../recorded.ts';
import { job } from '../state.ts';
import { view } from '../view.ts';
import { backToLive, closeBar, jump, setSpeed, stepSamples, togglePlay } from './ownMoves.ts';
import { RunStrip } from './RunStrip.tsx';
import { load, setKnowing } from './replayer.ts';
import { bar, JUMPS, type Jump, jumpTo, looking, playing, SPEEDS, type Speed, shownMs, speed } from './replayState.ts';
import './replay.css';

export function TimeBar() {
  const state = bar.value;
  if (state.kind === 'closed' || view.value === 'library' || view.value === 'papers') return null;
  const replay = looking.value.kind === 'replay';
  return (
    <section class={`time-bar${replay ? ' is-replay' : ''}`} aria-label="Time bar" data-testid="time-bar">
      {state.kind === 'open' ? <Controls /> : <Waiting />}
      {state.kind === 'open' && <RunStrip />}
    </section>
  );
}

function Waiting() {
  const state = bar.value;
  return (
    <div class="time-keys">
      <p class="time-wait">
        {state.kind === 'failed' ? `The run cannot be played back: ${state.why}` : 'Fetching the run…'}
      </p>
      {state.kind === 'failed' && (
        <button type="button" onClick={() => void retry()}>
          Try again
        </button>
      )}
      <button type="button" class="time-close" aria-label="Close the time bar" onClick={closeBar}>
        ✕
      </button>
    </div>
  );
}

async function retry(): Promise<void> {
  bar.value = { kind: 'loading' };
  await load().catch((fault: unknown) => console.info(`replay: ${String(fault)}`));
}

function Controls() {
  const look = looking.value;
  const replay = look.kind === 'replay';
  return (
    <div class="time-keys">
      <button
        type="button"
        class="time-live"
        aria-pressed={!replay}
        data-testid="to-live"
        title={recorded.value ? 'The end of the run (L)' : 'The newest end (L)'}
        onClick={backToLive}
      >
        {recorded.value ? 'End' : 'Live'}
      </button>
      <Instant />
      <div class="time-group">
        <button type="button" aria-label={`Previous ${jumpTo.value}`} title="Previous ( [ )" onClick={() => jump(-1)}>
          <Sign back />
        </button>
        <button
          type="button"
          aria-label="One sample back"
          title="One sample back ( , )"
          onClick={() => stepSamples(-1)}
        >
          −1
        </button>
        <button
          type="button"
          class="time-play"
          data-testid="play"
          aria-label={playing.value ? 'Pause' : 'Play'}
          title="Play or pause (space)"
          onClick={togglePlay}
        >
          {playing.value ? '❚❚' : '▶'}
        </button>
        <button type="button" aria-label="One sample on" title="One sample on ( . )" onClick={() => stepSamples(1)}>
          +1
        </button>
        <button type="button" aria-label={`Next ${jumpTo.value}`} title="Next ( ] )" onClick={() => jump(1)}>
          <Sign />
        </button>
      </div>
      <label class="time-choice">
        by{' '}
        <select value={jumpTo.value} onChange={(event) => (jumpTo.value = event.currentTarget.value as Jump)}>
          {JUMPS.map((each) => (
            <option key={each}>{each}</option>
          ))}
        </select>
      </label>
      <label class="time-choice">
        speed{' '}
        <select
          data-testid="speed-choice"
          value={speed.value}
          onChange={(event) => setSpeed(Number(event.currentTarget.value) as Speed)}
        >
          {SPEEDS.map((each) => (
            <option key={each} value={each}>
              {each}×
            </option>
          ))}
        </select>
      </label>
      <fieldset class="time-group" aria-label="What is known">
        <button
          type="button"
          disabled={!replay}
          aria-pressed={replay && look.knowing === 'seen'}
          title="Plan, limits and depth as they were at that instant"
          onClick={() => setKnowing('seen')}
        >
          As seen then
        </button>
        <button
          type="button"
          disabled={!replay}
          data-testid="as-known"
          aria-pressed={replay && look.knowing === 'known'}
          title="With the plan and the depth correction that are known now"
          onClick={() => setKnowing('known')}
        >
          As known now
        </button>
      </fieldset>
      <button
        type="button"
        class="time-passes"
        title="Readings by depth, every pass (P)"
        onClick={() => (openDialog.value = 'passes')}
      >
        By depth
      </button>
      <button
        type="button"
        class="time-what-if"
        title="Count the run again under changes (W)"
        onClick={() => (openDialog.value = 'what if')}
      >
        What if…
      </button>
      <button type="button" title="Two side by side: scenarios, runs (V)" onClick={() => (openDialog.value = 'beside')}>
        Beside…
      </button>
      <button type="button" class="time-close" aria-label="Close the time bar" title="Close (B)" onClick={closeBar}>
        ✕
      </button>
    </div>
  );
}

/** To the bound of something: an arrow against a bar. */
function Sign({ back = false }: { readonly back?: boolean }) {
  return (
    <svg class="jump-sign" viewBox="0 0 18 14" width="18" height="14" aria-hidden="true">
      <path d={back ? 'M16 1v12L6 7zM2 1h2.4v12H2z' : 'M2 1v12L12 7zM13.6 1h2.4v12h-2.4z'} />
    </svg>
  );
}

function Instant() {
  const at = shownMs.value;
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const replay = looking.value.kind === 'replay';
  return (
    <p class="time-instant" data-testid="instant">
      <b>{replay ? 'Replay' : recorded.value ? 'End of run' : 'Newest'}</b>{' '}
      <span class="time-date">{at === null ? '' : rigDate(at, offsetMs)}</span>{' '}
      <time>{at === null ? UNKNOWN : rigTime(at, offsetMs)}</time>
    </p>
  );
}
