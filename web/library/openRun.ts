/** Puts a recorded run onto the main screen in place of the live one, and takes it away again. */
import { snapshotMessageSchema } from '../../src/live/messages.ts';
import { besideIn } from '../beside/besideHash.ts';
import { openDialog } from '../frame/dialogs.ts';
import { applyClock, applyFreshness, applySnapshot } from '../live/applyMessages.ts';
import { putDownLive, takeUpLive } from '../live/liveLink.ts';
import { papersIn } from '../papers/papersAddress.ts';
import { liveRun, recorded, runHash, runInHash } from '../recorded.ts';
import { commandReplay } from '../replay/barWanted.ts';
import { bar } from '../replay/replayState.ts';
import { clock, pageLink, runName } from '../state.ts';
import { show } from '../view.ts';
import { whatIfIn } from '../whatIf/whatIfHash.ts';
import { askLibrary, saysOf } from './askLibrary.ts';
import { askForRuns, opening } from './libraryState.ts';

/** Of what is asked for one after another, the last alone is opened. */
let asked = 0;

const closeBar = (): void => {
  if (bar.peek().kind !== 'closed') commandReplay('bar');
};

/** @param said id or name @returns whether it is on the screen; why not is told in the library */
export async function openRun(said: string): Promise<boolean> {
  asked += 1;
  const mine = asked;
  opening.value = { kind: 'opening', said };
  try {
    const snapshot = await askLibrary(snapshotMessageSchema, `/api/runs/${encodeURIComponent(said)}/snapshot`);
    if (mine !== asked) return false;
    const { recording } = snapshot.ingest;
    if (recording.state === 'not kept') throw new Error('the service does not say which run it is');
    opening.value = { kind: 'none' };
    // The run that is being recorded is the live one: its newest end is where it goes on.
    if (recording.state !== 'closed') {
      leaveRun();
      return true;
    }
    closeBar();
    putDownLive();
    recorded.value = { id: recording.run, name: recording.name };
    runName.value = null;
    applySnapshot(snapshot);
    pageLink.value = { kind: 'open' };
    applyFreshness({ kind: 'fresh', ageS: 0 });
    applyClock(snapshot.clock.rate, clock.peek().offsetMs);
    if (papersIn(location.hash) === null) show('live');
    // What the address asks beside the run stays in it.
    const rest = runInHash(location.hash) === null ? '' : location.hash.slice(1).split('&').slice(1).join('&');
    history.replaceState(null, '', runHash(recording.run) + (rest && `&${rest}`));
    commandReplay('bar');
    if (whatIfIn(location.hash) !== null) openDialog.value = 'what if';
    if (besideIn(location.hash) !== null) openDialog.value = 'beside';
    return true;
  } catch (fault) {
    if (mine !== asked) return false;
    opening.value = { kind: 'refused', said, why: saysOf(fault) };
    if (recorded.peek() === null) {
      show('library');
      void askForRuns();
    }
    return false;
  }
}

/** The recorded run on the screen, as it is after something was entered into it. */
export async function showAnew(): Promise<void> {
  const shown = recorded.peek();
  if (!shown) return;
  const snapshot = await askLibrary(snapshotMessageSchema, `/api/runs/${encodeURIComponent(shown.id)}/snapshot`);
  if (recorded.peek() === shown) applySnapshot(snapshot);
}

/** Back to the live run, or to the library where there is none. */
export function leaveRun(): void {
  asked += 1;
  const was = recorded.peek();
  if (was) {
    closeBar();
    recorded.value = null;
    runName.value = null;
  }
  if (liveRun.peek() === 'none') {
    show('library');
    return;
  }
  takeUpLive();
  show('live');
  if (runInHash(location.hash) !== null) history.replaceState(null, '', location.pathname + location.search);
}
