/** The usual time between two samples, learnt: no condition is judged finer than the stream allows. */

export interface Period {
  /** How often each whole second was seen, up to a minute. */
  counts: number[];
  total: number;
  /** Median, ms; NaN before enough was seen. */
  medianMs: number;
}

const SECONDS = 61;
const ENOUGH = 4;
/** Old intervals fade, so that a stream that changes its rate is learnt anew. */
const FADE_AT = 600;

export function createPeriod(): Period {
  return { counts: new Array<number>(SECONDS).fill(0), total: 0, medianMs: Number.NaN };
}

export function learnPeriod(state: Period, intervalMs: number): void {
  const second = Math.min(SECONDS - 1, Math.max(0, Math.round(intervalMs / 1000)));
  state.counts[second]! += 1;
  state.total += 1;
  if (state.total >= FADE_AT) fade(state);
  // The median hardly moves: looking it up now and then is enough.
  if (state.total >= ENOUGH && (state.total < 16 || state.total % 16 === 0)) state.medianMs = median(state);
}

function fade(state: Period): void {
  state.total = 0;
  for (let i = 0; i < SECONDS; i += 1) {
    state.counts[i] = Math.floor(state.counts[i]! / 2);
    state.total += state.counts[i]!;
  }
}

function median(state: Period): number {
  let seen = 0;
  for (let i = 0; i < SECONDS; i += 1) {
    seen += state.counts[i]!;
    if (seen * 2 > state.total) return Math.max(1, i) * 1000;
  }
  return (SECONDS - 1) * 1000;
}

/** A frame that comes half a period late is late, not lost. */
const LATE = 1.5;

/** The plan's `gapAfter`, or a period and a half where the stream is slower than the plan thought. */
export function gapAfterMs(state: Period, plannedMs: number): number {
  return Number.isNaN(state.medianMs) ? plannedMs : Math.max(plannedMs, LATE * state.medianMs);
}

export function periodMs(state: Period): number {
  return Number.isNaN(state.medianMs) ? 1000 : state.medianMs;
}
