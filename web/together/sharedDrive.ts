/** Moves this page with the shared position while it follows, and the shared position with this page while it leads. */
import { effect } from '@preact/signals';
import type { SharedPlace } from '../../src/live/messages.ts';
import { backToLive, load, openBar, pause, seekTo, togglePlay } from '../replay/replayer.ts';
import { bar, isReplay, looking, overview, playing, SPEEDS, speed } from '../replay/replayState.ts';
import { lead, placeNow } from './sharedLink.ts';
import { instantOf, type Stance, shared, stance } from './sharedState.ts';

/** Where to is said this often at most, ms: a drag shows on the other pages as it goes. */
const SAY_EVERY_MS = 200;
/** A place that is played moves on by itself: it is said again when it is off by more than so long of our time, ms. */
const OFF_MS = 400;
/** The run has gone on beyond what this page fetched: asked for again this often at most, ms. */
const FETCH_EVERY_MS = 3_000;

export function driveShared(): () => void {
  const stops = [effect(leadOn), effect(followOn)];
  return () => {
    for (const stop of stops) stop();
    cancelAnimationFrame(frame);
    clearTimeout(saying);
  };
}

let saying: ReturnType<typeof setTimeout> | undefined;
let told: { readonly at: SharedPlace; readonly ourMs: number } | null = null;

function leadOn(): void {
  const { place } = stance.value === 'leading' ? { place: shared.value?.place } : { place: undefined };
  // Read, so that it runs again with each of them.
  void [looking.value, playing.value, speed.value];
  if (stance.value !== 'leading') {
    told = null;
    return;
  }
  if (place === undefined || saying !== undefined) return;
  saying = setTimeout(
    () => {
      saying = undefined;
      if (stance.peek() !== 'leading') return;
      const at = placeNow();
      if (place !== null && told !== null && isSame(told, at)) return;
      told = { at, ourMs: performance.now() };
      lead(at);
    },
    told === null ? 0 : SAY_EVERY_MS,
  );
}

function isSame(before: NonNullable<typeof told>, at: SharedPlace): boolean {
  if (before.at.kind === 'live' || at.kind === 'live') return before.at.kind === at.kind;
  if (before.at.playing !== at.playing || before.at.speed !== at.speed) return false;
  if (!at.playing) return before.at.atMs === at.atMs;
  const expected = before.at.atMs + (performance.now() - before.ourMs) * at.speed;
  return Math.abs(at.atMs - expected) < OFF_MS * at.speed;
}

let frame = 0;
let before: Stance = 'undecided';
let fetchedMs = Number.NEGATIVE_INFINITY;

function followOn(): void {
  const now = stance.value;
  const place = shared.value?.place ?? null;
  // Read, so that it runs again when the run is there, and when more of it is.
  const isOpen = bar.value.kind === 'open';
  void overview.value;
  cancelAnimationFrame(frame);
  if (now !== 'following') {
    // What is played goes on, from now on at this page's own pace.
    if (before === 'following' && playing.peek()) {
      pause();
      togglePlay();
    }
    before = now;
    return;
  }
  // One's own playing is over when another takes the lead.
  if (before !== 'following') pause();
  before = now;
  if (place === null) return;
  if (place.at.kind === 'live') {
    if (isReplay.peek()) backToLive();
    return;
  }
  if (bar.peek().kind === 'closed') openBar();
  if (isOpen) goWith({ sinceMs: place.sinceMs, at: place.at });
}

function goWith(place: { readonly sinceMs: number; readonly at: Extract<SharedPlace, { kind: 'at' }> }): void {
  const { at } = place;
  playing.value = at.playing;
  // A speed that the bar does not have comes from no page of ours: the nearest one is shown.
  speed.value = SPEEDS.reduce((best, each) => (Math.abs(each - at.speed) < Math.abs(best - at.speed) ? each : best));
  const turn = (): void => {
    const ms = instantOf(place)!;
    seekTo(ms);
    const end = overview.peek()?.toMs ?? Number.POSITIVE_INFINITY;
    if (ms > end && performance.now() - fetchedMs > FETCH_EVERY_MS) {
      fetchedMs = performance.now();
      load().catch((fault: unknown) => console.info(`shared position: ${String(fault)}`));
    }
    if (at.playing && ms <= end) frame = requestAnimationFrame(turn);
    else if (at.playing) playing.value = false;
  };
  turn();
}
