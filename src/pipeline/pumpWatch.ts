/** What the pumps should deliver by their strokes, and whether the flow reading agrees. */
import type { Sample } from '../channels.ts';
import { median } from '../engineering/robust.ts';
import { EVENTS } from '../events.ts';
import type { Pump } from '../plan/engineering.ts';

export interface PumpWatch {
  /** Flow over strokes less 1, of the last points. */
  recent: number[];
  recentMs: number[];
  /** Their median; NaN before there are enough. */
  share: number;
  flow: number;
  byStrokes: number;
  verdict: 'none' | 'mismatch';
  sinceMs: number;
  judgedMs: number;
}

const RECENT = 3;
/** Stroke rates come in whole strokes a minute, so each pump may be off by half of one. */
const STROKE_ROUNDING = 0.5;
/** A verdict outlives the pumps being off for a stand connection, and not much more. */
const VERDICT_LASTS_MS = 600_000;

export function createPumpWatch(): PumpWatch {
  return {
    recent: [],
    recentMs: [],
    share: Number.NaN,
    flow: Number.NaN,
    byStrokes: Number.NaN,
    verdict: 'none',
    sinceMs: Number.NaN,
    judgedMs: Number.NaN,
  };
}

/**
 * Strokes × displacement of all pumps, L/min; NaN where that is not all: a rate that is not read, a pump that works and is
 * not in the plan, or more pumps than stroke rates.
 */
export function strokeFlow(pumps: readonly Pump[], sample: Sample): number {
  const { strokeRate1, strokeRate2, strokeRate3 } = sample;
  const one = delivered(pumps[0], strokeRate1);
  const two = delivered(pumps[1], strokeRate2);
  const three = delivered(pumps[2], strokeRate3);
  return pumps.length === 0 || pumps.length > 3 ? Number.NaN : one + two + three;
}

function delivered(pump: Pump | undefined, rate: number): number {
  if (pump) return rate * pump.litresPerStroke;
  return rate > 0 ? Number.NaN : 0;
}

/** Works ten seconds of steady circulation in: mean flow, and mean flow by strokes, L/min. */
export function advancePumpWatch(
  state: PumpWatch,
  pumps: readonly Pump[],
  fromMs: number,
  toMs: number,
  flow: number,
  byStrokes: number,
  limitShare: number,
): void {
  if (!(byStrokes > 0) || !(flow > 0)) return;
  state.recent.push(flow / byStrokes - 1);
  state.recentMs.push(fromMs);
  if (state.recent.length > RECENT) {
    state.recent.shift();
    state.recentMs.shift();
  }
  state.judgedMs = toMs;
  state.flow = flow;
  state.byStrokes = byStrokes;
  if (state.recent.length < RECENT) return;
  state.share = median([...state.recent]);
  let rounding = 0;
  for (const pump of pumps) rounding += STROKE_ROUNDING * pump.litresPerStroke;
  const limit = limitShare + rounding / byStrokes;
  const isOff =
    Math.abs(state.share) > (state.verdict === 'none' ? limit : limit * (1 - EVENTS['pump mismatch'].deadBand));
  if (isOff && state.verdict === 'none') state.sinceMs = state.recentMs[0]!;
  state.verdict = isOff ? 'mismatch' : 'none';
}

export function agePumpWatch(state: PumpWatch, atMs: number): void {
  if (state.verdict !== 'none' && atMs - state.judgedMs > VERDICT_LASTS_MS) state.verdict = 'none';
}
