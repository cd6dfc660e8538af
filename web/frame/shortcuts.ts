/** Keys that work anywhere on the page, as one table: the help dialog lists the same. */
import { useEffect } from 'preact/hooks';
import { acknowledgeFirst } from '../events/acknowledging.ts';
import { leaveRecorded } from '../library/libraryPart.ts';
import { shortcuts } from '../preferences.ts';
import { recorded } from '../recorded.ts';
import { commandReplay } from '../replay/barWanted.ts';
import { looking } from '../replay/replayState.ts';
import { job, now, selectedJoint, theme, themeChoice, unitSystem } from '../state.ts';
import { toggleFollow } from '../together/sharedLink.ts';
import { show, toggleView } from '../view.ts';
import { openDialog } from './dialogs.ts';

interface Shortcut {
  readonly key: string;
  readonly shown: string;
  readonly does: string;
  readonly run: () => void;
}

/** From the joint singled out, or the one at work, to the next one up or down. */
function step(by: number): void {
  const count = job.peek()?.joints.length ?? 0;
  if (count === 0) return;
  const from = selectedJoint.peek() ?? now.peek()?.joint ?? (by > 0 ? -1 : count);
  selectedJoint.value = Math.min(count - 1, Math.max(0, from + by));
}

function newest(): void {
  if (recorded.peek() && looking.peek().kind === 'live') leaveRecorded();
  else commandReplay('live');
}

function back(): void {
  commandReplay('live');
  selectedJoint.value = null;
  show('live');
}

function confirmOffer(): void {
  if (now.peek()?.depthAtTool.offer) openDialog.value = 'confirm';
}

export function toggleUnits(): void {
  unitSystem.value = unitSystem.peek() === 'metric' ? 'field' : 'metric';
}

export const SHORTCUTS: readonly Shortcut[] = [
  { key: '?', shown: '?', does: 'This help', run: () => (openDialog.value = 'help') },
  { key: 'u', shown: 'U', does: 'Metric or field units', run: toggleUnits },
  {
    key: 't',
    shown: 'T',
    does: 'Light or dark',
    run: () => (themeChoice.value = theme.peek() === 'light' ? 'dark' : 'light'),
  },
  { key: 's', shown: 'S', does: 'The source: counts and refusals', run: () => (openDialog.value = 'source') },
  { key: 'c', shown: 'C', does: 'The check before the trip, and back', run: () => toggleView('check') },
  { key: 'r', shown: 'R', does: 'The library of recorded runs, and back', run: () => toggleView('library') },
  {
    key: 'o',
    shown: 'O',
    does: 'The papers of the run: sheets, signatures, and back',
    run: () => toggleView('papers'),
  },
  { key: 'g', shown: 'G', does: 'The steps: hanger, tests, depth tag', run: () => (openDialog.value = 'steps') },
  { key: 'd', shown: 'D', does: 'Confirm a depth that is offered', run: confirmOffer },
  { key: 'j', shown: 'J', does: 'Look at the next joint down', run: () => step(1) },
  { key: 'k', shown: 'K', does: 'Look at the next joint up', run: () => step(-1) },
  { key: 'b', shown: 'B', does: 'The time bar: any instant of the run', run: () => commandReplay('bar') },
  { key: ' ', shown: 'Space', does: 'Play the run, or pause', run: () => commandReplay('play') },
  { key: ',', shown: ',', does: 'One sample back', run: () => commandReplay('sample back') },
  { key: '.', shown: '.', does: 'One sample on', run: () => commandReplay('sample on') },
  { key: '[', shown: '[', does: 'Back to the event, joint or phase before', run: () => commandReplay('jump back') },
  { key: ']', shown: ']', does: 'On to the next event, joint or phase', run: () => commandReplay('jump on') },
  { key: '<', shown: '<', does: 'Play slower', run: () => commandReplay('slower') },
  { key: '>', shown: '>', does: 'Play faster', run: () => commandReplay('faster') },
  { key: 'l', shown: 'L', does: 'Back to the newest end; from the end of a recorded run back to live', run: newest },
  { key: 'p', shown: 'P', does: 'Readings by depth, every pass', run: () => (openDialog.value = 'passes') },
  { key: 'w', shown: 'W', does: 'What if: count the run again', run: () => (openDialog.value = 'what if') },
  { key: 'v', shown: 'V', does: 'Two side by side: scenarios, runs', run: () => (openDialog.value = 'beside') },
  { key: 'f', shown: 'F', does: 'Follow the shared position, or go alone', run: toggleFollow },
  { key: 'h', shown: 'H', does: 'Watch together: take the lead', run: () => (openDialog.value = 'together') },
  { key: 'n', shown: 'N', does: 'Notes and the journal', run: () => (openDialog.value = 'notes') },
  { key: 'a', shown: 'A', does: 'Acknowledge the first event that nobody has', run: acknowledgeFirst },
  { key: 'Escape', shown: 'Esc', does: 'Back to the tool, back to live', run: back },
];

const TYPING = 'input, textarea, select, [contenteditable]';

export function useShortcuts(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
      if (openDialog.peek() !== 'none') return;
      if (event.target instanceof Element && event.target.closest(TYPING)) return;
      // A key that presses what has the focus is not also a shortcut.
      if (event.key === ' ' && event.target instanceof Element && event.target.closest('button, [role="button"]'))
        return;
      if (shortcuts.peek() === 'off' && event.key.length === 1) return;
      const found = SHORTCUTS.find((shortcut) => shortcut.key === event.key);
      if (!found) return;
      event.preventDefault();
      found.run();
    };
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, []);
}
