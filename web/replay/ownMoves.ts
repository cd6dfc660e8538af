/** What a viewer does by hand with the time bar: whoever follows a shared position leaves it with that. */
import { ownMove } from '../together/sharedLink.ts';
import * as replayer from './replayer.ts';
import { bar, isReplay, type Speed, speed } from './replayState.ts';

const byHand =
  <Given extends unknown[]>(move: (...given: Given) => void) =>
  (...given: Given): void => {
    ownMove();
    move(...given);
  };

export const seekTo = byHand((ms: number) => replayer.seekTo(ms));
export const stepSamples = byHand(replayer.stepSamples);
export const jump = byHand(replayer.jump);
export const togglePlay = byHand(replayer.togglePlay);
export const faster = byHand(replayer.faster);
export const setSpeed = byHand((next: Speed) => {
  speed.value = next;
});

export function backToLive(): void {
  if (isReplay.peek()) ownMove();
  replayer.backToLive();
}

export function closeBar(): void {
  if (isReplay.peek()) ownMove();
  replayer.closeBar();
}

export const toggleBar = (): void => (bar.peek().kind === 'closed' ? replayer.openBar() : closeBar());
