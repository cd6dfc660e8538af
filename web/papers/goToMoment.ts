/** Leads the main screen to a moment: the time bar there, the joint singled out, the traces ending there. */
import { effect, signal } from '@preact/signals';
import { recorded } from '../recorded.ts';
import { wantInstant } from '../replay/barWanted.ts';
import { job, runName, selectedJoint } from '../state.ts';
import { show } from '../view.ts';
import { type Moment, momentIn } from './papersAddress.ts';

/** Until its run is on the screen. */
const waiting = signal<Moment | null>(null);

export function goToMoment(moment: Moment): void {
  waiting.value = moment;
}

function take(): void {
  const moment = waiting.value;
  const joints = job.value?.joints;
  const run = recorded.value;
  const isThere = moment?.run == null ? run === null : run?.id === moment.run || run?.name === moment.run;
  if (moment === null || !joints || runName.value === null || !isThere) return;
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
