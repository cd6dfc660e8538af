/** What this page says of the shared position, and what it hears of it (rule L4 of src/live/messages.ts). */
import { batch } from '@preact/signals';
import type { PageMessage, SharedMessage, SharedPlace, Standing } from '../../src/live/messages.ts';
import { viewerName } from '../preferences.ts';
import { isReplay, looking, playing, speed } from '../replay/replayState.ts';
import { ingest } from '../state.ts';
import { knowOffset, type Stance, shared, stance } from './sharedState.ts';

const STANDINGS: Readonly<Record<Stance, Standing>> = {
  undecided: 'alone',
  alone: 'alone',
  following: 'follows',
  leading: 'leads',
};

/** Told to the service alone, by chance and anew with each load of the page. */
const page = [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => byte.toString(16).padStart(2, '0')).join('');

let say: (message: PageMessage) => void = () => {};
/** Of `watch` and `take` on this link: until the service has heard them all, it cannot know how this page stands. */
let said = 0;

export function linkShared(through: (message: PageMessage) => void): void {
  say = through;
}

function watch(): void {
  said += 1;
  say({ type: 'watch', page, name: viewerName.peek().trim(), as: STANDINGS[stance.peek()] });
}

/** The link is new. */
export function watchAgain(): void {
  said = 0;
  watch();
}

export function takeShared(message: SharedMessage, offsetMs: number): void {
  batch(() => {
    knowOffset(offsetMs);
    shared.value = message;
    if (message.you.heard !== said) return;
    if (message.you.as === 'leads') stance.value = 'leading';
    else if (message.you.as === 'follows') stance.value = 'following';
    else if (stance.peek() !== 'undecided') stance.value = 'alone';
    else if (message.place && ingest.peek()?.link === 'ended' && !isReplay.peek()) follow();
  });
}

export function follow(): void {
  stance.value = 'following';
  watch();
}

export function goAlone(): void {
  stance.value = 'alone';
  watch();
}

/** To the shared position, or away from it. */
export function toggleFollow(): void {
  if (stance.peek() === 'following' || stance.peek() === 'leading') goAlone();
  else if (shared.peek()?.place) follow();
}

/** From where this page stands now. */
export function takeLead(): void {
  if (stance.peek() === 'leading') return;
  // The name may be new.
  watch();
  said += 1;
  say({ type: 'take', place: placeNow() });
  stance.value = 'leading';
}

export const lead = (place: SharedPlace): void => say({ type: 'lead', place });

/** Whoever follows and moves by hand goes alone from there. */
export function ownMove(): void {
  if (stance.peek() === 'following') goAlone();
}

export function placeNow(): SharedPlace {
  const look = looking.peek();
  if (look.kind === 'live') return { kind: 'live' };
  return { kind: 'at', atMs: look.atMs, playing: playing.peek(), speed: speed.peek() };
}
