/**
 * Plays the run back: fetches what it is counted from, asks the worker for instants of it, puts them into the panels. One
 * question is on its way at a time; of those that are asked meanwhile the last counts, so that dragging never lags behind.
 */
import { effect } from '@preact/signals';
import { holdNewest, showInstant, showNewest } from '../live/applyMessages.ts';
import { recorded } from '../recorded.ts';
import { journalLines, runName } from '../state.ts';
import type { Answer, Knowing, Question } from '../worker/replayProtocol.ts';
import { type DeskLink, openDesk } from './deskLink.ts';
import { fetchCourse, fetchSamples } from './fetchCourse.ts';
import { jumpPoints, nextJump } from './jumps.ts';
import { bar, jumpTo, looking, overview, playing, SPEEDS, shownMs, speed } from './replayState.ts';

/** While the bar is open the run's newest samples are fetched this often, ms. */
const REFRESH_MS = 10_000;

type Move = Extract<Question, { ask: 'seek' | 'step' }>;

let desk: DeskLink | null = null;
/** Samples that the worker holds, and of which run. */
let rows = 0;
let run: string | null = null;
let loading: Promise<void> | null = null;
let refreshing: ReturnType<typeof setInterval> | undefined;
let stopListening: () => void = () => {};
let wanted: Move | null = null;
let moving = false;
/** The panels show something else than the worker told last: it is to tell everything. */
let anew = true;
let frame = 0;

/** Another run has come to the screen: what was looked at of the one before is over. */
effect(() => {
  const shown = runName.value;
  if (shown === null || run === null || shown === run) return;
  pause();
  wanted = null;
  looking.value = { kind: 'live' };
  if (bar.peek().kind === 'open') loadQuietly();
});

const says = (fault: unknown): string => (fault instanceof Error ? fault.message : String(fault));

/** Resolves when the worker holds the run as far as it has come; `bar` says so, or why not. */
export function load(): Promise<void> {
  loading ??= fetchRun().finally(() => {
    loading = null;
  });
  return loading;
}

async function fetchRun(): Promise<void> {
  try {
    desk ??= openDesk();
    const asked = recorded.peek();
    const course = await fetchCourse();
    if (course.run !== run) rows = 0;
    const bytes = await fetchSamples(rows);
    // Another run has been put onto the screen meanwhile.
    if (asked !== recorded.peek()) return await fetchRun();
    const answer = await desk.ask({ ask: 'load', course, bytes });
    if (answer.answer !== 'loaded')
      throw new Error(answer.answer === 'refused' ? answer.why : 'the worker did not load it');
    run = course.run;
    rows = answer.rows;
    overview.value = answer.overview;
    if (bar.peek().kind === 'loading') bar.value = { kind: 'open' };
    // What is known now may have become more.
    const look = looking.peek();
    if (look.kind === 'replay' && look.knowing === 'known') {
      anew = true;
      seekTo(look.atMs);
    }
  } catch (fault) {
    run = null;
    rows = 0;
    if (bar.peek().kind !== 'closed') bar.value = { kind: 'failed', why: says(fault) };
    throw fault;
  }
}

const loadQuietly = (): void => void load().catch((fault: unknown) => console.info(`replay: ${says(fault)}`));

export function openBar(): void {
  if (bar.peek().kind === 'open' || bar.peek().kind === 'loading') return;
  bar.value = { kind: 'loading' };
  loadQuietly();
  clearInterval(refreshing);
  const refresh = (): void => {
    // A recorded run does not go on.
    if (!playing.peek() && !recorded.peek()) loadQuietly();
  };
  refreshing = setInterval(refresh, REFRESH_MS);
  stopListening();
  let entered = journalLines.peek().length;
  // What somebody has just entered is on the bar at once.
  stopListening = journalLines.subscribe(({ length }) => {
    if (length !== entered) refresh();
    entered = length;
  });
}

export function closeBar(): void {
  backToLive();
  clearInterval(refreshing);
  stopListening();
  bar.value = { kind: 'closed' };
}

export const toggleBar = (): void => (bar.peek().kind === 'closed' ? openBar() : closeBar());

/** Asks the worker something else than an instant. */
export async function askDesk(question: Question): Promise<Answer> {
  if (!desk || run === null || run !== runName.peek()) await load();
  return desk!.ask(question);
}

const knowingNow = (): Knowing => {
  const look = looking.peek();
  return look.kind === 'replay' ? look.knowing : 'seen';
};

/** The panels show the run as it was at `ms`, cut to its samples. */
export function seekTo(ms: number, knowing: Knowing = knowingNow()): void {
  const whole = overview.peek();
  if (bar.peek().kind !== 'open' || !whole || whole.samples === 0) return;
  const at = Math.min(whole.toMs, Math.max(whole.fromMs, ms));
  if (looking.peek().kind === 'live') anew = true;
  holdNewest();
  looking.value = { kind: 'replay', atMs: at, knowing };
  move({ ask: 'seek', ms: at, knowing, anew: false });
}

export function stepSamples(by: number): void {
  const whole = overview.peek();
  if (bar.peek().kind !== 'open' || !whole || whole.samples === 0) return;
  pause();
  if (looking.peek().kind === 'live') {
    seekTo(whole.toMs);
    return;
  }
  const before = wanted?.ask === 'step' ? wanted.by : 0;
  move({ ask: 'step', by: before + by, knowing: knowingNow(), anew: false });
}

export function jump(way: 1 | -1): void {
  const whole = overview.peek();
  const at = shownMs.peek();
  if (!whole || at === null) return;
  const to = nextJump(jumpPoints(whole, jumpTo.peek()), at, way);
  if (to === null) return;
  pause();
  seekTo(to);
}

export function setKnowing(knowing: Knowing): void {
  const look = looking.peek();
  if (look.kind === 'replay') seekTo(look.atMs, knowing);
}

export function backToLive(): void {
  pause();
  wanted = null;
  if (looking.peek().kind === 'live') return;
  looking.value = { kind: 'live' };
  showNewest();
}

export function togglePlay(): void {
  if (playing.peek()) pause();
  else play();
}

export function faster(way: 1 | -1): void {
  const at = SPEEDS.indexOf(speed.peek()) + way;
  speed.value = SPEEDS[Math.min(SPEEDS.length - 1, Math.max(0, at))]!;
}

export function pause(): void {
  cancelAnimationFrame(frame);
  playing.value = false;
}

/** From where it stands; from the beginning when it stands at the end. */
function play(): void {
  const whole = overview.peek();
  if (bar.peek().kind !== 'open' || !whole || whole.samples === 0) return;
  const from = shownMs.peek() ?? whole.fromMs;
  seekTo(from >= whole.toMs ? whole.fromMs : from);
  playing.value = true;
  let before = performance.now();
  const turn = (): void => {
    const look = looking.peek();
    const end = overview.peek()?.toMs ?? 0;
    if (look.kind === 'live' || look.atMs >= end) {
      pause();
      return;
    }
    const ourMs = performance.now();
    const to = look.atMs + (ourMs - before) * speed.peek();
    before = ourMs;
    seekTo(to);
    frame = requestAnimationFrame(turn);
  };
  frame = requestAnimationFrame(turn);
}

function move(question: Move): void {
  wanted = question;
  if (!moving) void moveOn();
}

async function moveOn(): Promise<void> {
  moving = true;
  try {
    while (wanted && desk) {
      const asked: Move = { ...wanted, anew };
      wanted = null;
      anew = false;
      take(asked, await desk.ask(asked));
    }
  } catch (fault) {
    bar.value = { kind: 'failed', why: says(fault) };
    backToLive();
  } finally {
    moving = false;
  }
}

function take(asked: Move, answer: Answer): void {
  const look = looking.peek();
  // The viewer went back to live, or sees with other eyes, while the answer was on its way.
  if (look.kind === 'live' || look.knowing !== asked.knowing) return;
  if (answer.answer === 'shown') showInstant(answer.whole);
  else if (answer.answer === 'changed') showInstant(answer.changed);
  else return;
  if (asked.ask === 'step') looking.value = { ...look, atMs: answer.atMs };
}
