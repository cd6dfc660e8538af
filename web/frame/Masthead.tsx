/** Which job this is, what time it is on the rig, how the source fares, and the viewer's own switches. */
import { decimal, offsetLabel, rigDate, rigTime, UNKNOWN } from '../figures.ts';
import { leaveRecorded } from '../library/libraryPart.ts';
import { Mark } from '../Mark.tsx';
import { THEME_CHOICES, type ThemeChoice } from '../preferences.ts';
import { liveRun, recorded } from '../recorded.ts';
import { commandReplay } from '../replay/barWanted.ts';
import { bar, isReplay } from '../replay/replayState.ts';
import { clock, ingest, job, now, pageLink, themeChoice, unitSystem } from '../state.ts';
import { LINK_SAYINGS, upperFirst } from '../status/statusWords.ts';
import { toggleView, view } from '../view.ts';
import { openDialog } from './dialogs.ts';
import { leftOutWords, recordingMark } from './recordingWords.ts';
import { refusalWords } from './refusals.ts';
import { toggleUnits } from './shortcuts.ts';

export function Masthead() {
  return (
    <header class="masthead">
      <JobName />
      {hasRun() && <RigClock />}
      <Speed />
      <ReplaySign />
      <LeftOutSign />
      <SourceButton />
      <button
        type="button"
        class="switch"
        data-testid="bar-switch"
        disabled={!hasRun()}
        aria-pressed={bar.value.kind !== 'closed'}
        onClick={() => commandReplay('bar')}
        title="The time bar: any instant of the run (B)"
      >
        Time bar
      </button>
      <button
        type="button"
        class="switch"
        data-testid="view-switch"
        disabled={!hasRun()}
        onClick={() => toggleView('check')}
        title={view.value === 'check' ? `Back to ${screenName()} (C)` : 'The check before the trip (C)'}
      >
        {view.value === 'check' ? upperFirst(screenName()) : 'Check'}
      </button>
      <button
        type="button"
        class="switch"
        data-testid="papers-switch"
        disabled={!hasRun()}
        onClick={() => toggleView('papers')}
        title={
          view.value === 'papers' ? `Back to ${screenName()} (O)` : 'The papers of the run: sheets, signatures (O)'
        }
      >
        {view.value === 'papers' ? upperFirst(screenName()) : 'Papers'}
      </button>
      <button
        type="button"
        class="switch"
        data-testid="library-switch"
        onClick={() => toggleView('library')}
        title={view.value === 'library' ? `Back to ${screenName()} (R)` : 'The library of recorded runs (R)'}
      >
        {view.value === 'library' && hasRun() ? upperFirst(screenName()) : 'Runs'}
      </button>
      <button type="button" class="switch" data-testid="units-switch" onClick={toggleUnits} title="Units (U)">
        <span class="switch-label">Units</span> {unitSystem.value}
      </button>
      <ThemeSwitch />
      <button
        type="button"
        class="switch round"
        aria-label="Help"
        title="Help (?)"
        onClick={() => (openDialog.value = 'help')}
      >
        ?
      </button>
    </header>
  );
}

/** A library without a rig has nothing to show before one of its runs is opened. */
const hasRun = (): boolean => recorded.value !== null || liveRun.value !== 'none';

/** What the main screen shows. */
const screenName = (): string => (recorded.value ? 'run' : 'live');

function JobName() {
  const name = job.value;
  return (
    <h1>
      <span class="wordmark">jointwise</span>
      {name?.well && <b title={name.well}>{name.well}</b>}
      {name?.rig && (
        <span class="rig" title={name.rig}>
          {name.rig}
        </span>
      )}
    </h1>
  );
}

function RigClock() {
  const at = now.value?.sourceMs;
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  return (
    <p class="rig-clock" title={isReplay.value ? 'Time of the sample that is shown' : 'Time of the newest sample'}>
      <span class="rig-date rig-day">{at === undefined ? '' : rigDate(at, offsetMs)}</span>{' '}
      <time data-testid="rig-clock">{at === undefined ? UNKNOWN : rigTime(at, offsetMs)}</time>{' '}
      <span class="rig-date">{offsetLabel(offsetMs)}</span>
    </p>
  );
}

/** Never let a played job be taken for a live one. */
function Speed() {
  const { rate } = clock.value;
  if (rate === 1) return null;
  return (
    <p class="speed" data-testid="speed" title="Rig time passes faster than ours">
      {decimal(rate, Number.isInteger(rate) ? 0 : 1)}×
    </p>
  );
}

/** Nor what is played back for what is now. */
function ReplaySign() {
  if (recorded.value) return <RecordedSign name={recorded.value.name} />;
  if (!isReplay.value) return null;
  return (
    <button
      type="button"
      class="replay-sign"
      data-testid="replay-sign"
      onClick={() => commandReplay('live')}
      title="Back to the newest end (L)"
    >
      Replay, not now
    </button>
  );
}

/** A recorded run looks as the live one does: its name stands where nobody can miss it. */
function RecordedSign({ name }: { readonly name: string }) {
  return (
    <p class="recorded-sign" data-testid="recorded-sign">
      <span class="recorded-says">
        <b>Recorded run, not live</b>
        <span class="recorded-name" title={name}>
          {name}
        </span>
      </span>
      <button type="button" data-testid="leave-run" onClick={leaveRecorded} title="Leave it (L at its end)">
        {liveRun.value === 'none' ? 'Leave' : 'To live'}
      </button>
    </p>
  );
}

/** What was recorded and cannot be read back must not be taken for a rig that sent nothing. */
function LeftOutSign() {
  const leftOut = ingest.value?.leftOut;
  if (!leftOut) return null;
  return (
    <button
      type="button"
      class="switch left-out-sign"
      data-testid="left-out-sign"
      onClick={() => (openDialog.value = 'source')}
      title="What of the record of this run is damaged (S)"
    >
      <Mark name="blind" size={16} /> <span>{upperFirst(leftOutWords(leftOut))}</span>
    </button>
  );
}

function SourceButton() {
  const state = ingest.value;
  // The source is that of the live run.
  if (recorded.value || liveRun.value === 'none') return null;
  const lost = pageLink.value.kind === 'lost';
  const mark = state ? recordingMark(state.recording) : null;
  const bad = lost || state?.link === 'lost' || state?.recording.state === 'not recording';
  const says = lost ? 'service lost' : state ? LINK_SAYINGS[state.link] : 'calling the service';
  return (
    <button
      type="button"
      class={`switch source${bad ? ' is-bad' : ''}`}
      data-testid="source"
      onClick={() => (openDialog.value = 'source')}
      title="Source (S)"
    >
      <span class="source-says">{says}</span>
      {state && mark === null && (
        <span class="source-counts">
          {decimal(state.frames, 0)} frames, {refusalWords(state)}
        </span>
      )}
      {mark !== null && (
        <span class="source-counts recording-mark" data-testid="recording-mark">
          {mark}
        </span>
      )}
    </button>
  );
}

const THEME_SAYINGS: Readonly<Record<ThemeChoice, string>> = { system: 'auto', light: 'light', dark: 'dark' };

function ThemeSwitch() {
  const next = () => {
    const at = THEME_CHOICES.indexOf(themeChoice.peek());
    themeChoice.value = THEME_CHOICES[(at + 1) % THEME_CHOICES.length]!;
  };
  return (
    <button type="button" class="switch" data-testid="theme-switch" onClick={next} title="Light or dark (T)">
      <span class="switch-label">Theme</span> {THEME_SAYINGS[themeChoice.value]}
    </button>
  );
}
