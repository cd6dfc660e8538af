/** Leads the main screen to a moment: the time bar there, the joint singled out, the traces ending there. */
import { effect, signal } from '@preact/signals';
import { recorded } from '../recorded.ts';
import { wantInstant } from '../replay/barWanted.ts';
import { ingest, job, runName, selectedJoint } from '../state.ts';
import { show } from '../view.ts';
import { type Moment, momentIn } from './papersAddress.ts';

/** Until its run is on the screen. */
const waiting = signal<Moment | null>(null);

export function goToMoment(moment: Moment): void {
  waiting.value = moment;
}

/** Whether the run that an address names, or else the live one, is on the screen. */
function isShown(run: string | null): boolean {
  const shown = recorded.value;
  if (run === null) return shown === null;
  if (shown) return run === shown.id || run === shown.name;
  const live = ingest.value?.recording;
  return live !== undefined && live.state !== 'not kept' && (run === live.run || run === live.name);
}

function take(): void {
  const moment = waiting.value;
  const joints = job.value?.joints;
  if (moment === null || !joints || runName.value === null || !isShown(moment.run)) return;
  waiting.value = null;
  const index = moment.joint === null ? -1 : joints.findIndex(({ name }) => name === moment.joint);
  if (index >= 0) selectedJoint.value = index;
  show('live');
  wantInstant(moment.atMs);
}

/** From now on addresses of moments are followed. @returns ends it */
export function followMoments(): () => void {
  const look = (): void => {
    waiting.value = momentIn(location.hash);
  };
  look();
  const stop = effect(take);
  addEventListener('hashchange', look);
  return () => {
    stop();
    removeEventListener('hashchange', look);
  };
}
