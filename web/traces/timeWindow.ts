/**
 * What stretch of time is shown.
 *
 *   live ──select, pan, zoom about a moment──▶ held ──"back to live"──▶ live
 *
 * `live` follows the newest row; `held` stays where it was put, whatever comes in.
 */
import { TRACE_LIMITS } from '../../src/traces/traceStore.ts';

export type LiveSpan = number | 'all';
export type TimeWindow =
  | { readonly kind: 'live'; readonly span: LiveSpan }
  | { readonly kind: 'held'; readonly fromMs: number; readonly toMs: number; readonly liveSpan: LiveSpan };

export interface TimeRange {
  readonly fromMs: number;
  readonly toMs: number;
}

export const SPANS: readonly { readonly span: LiveSpan; readonly label: string; readonly says: string }[] = [
  { span: 600_000, label: '10 min', says: 'last 10 minutes' },
  { span: 3_600_000, label: '1 h', says: 'last hour' },
  { span: 14_400_000, label: '4 h', says: 'last 4 hours' },
  { span: 'all', label: 'All', says: `run, at most its newest ${TRACE_LIMITS.rows / 3600} h` },
];

/** Nothing is told apart below this, ms. */
const SHORTEST_MS = 10_000;
/** One press of zoom in; zoom out is its inverse. */
export const ZOOM_STEP = 0.5;
/** Share of the window that one press of pan moves by. */
export const PAN_STEP = 0.5;

const spanMs = (span: LiveSpan, held: TimeRange): number =>
  span === 'all' ? Math.max(SHORTEST_MS, held.toMs - held.fromMs) : span;

/** The range shown; `held` is what the data covers. */
export function rangeOf(window: TimeWindow, held: TimeRange): TimeRange {
  if (window.kind === 'held') return window;
  return { fromMs: held.toMs - spanMs(window.span, held), toMs: held.toMs };
}

const liveSpanOf = (window: TimeWindow): LiveSpan => (window.kind === 'live' ? window.span : window.liveSpan);

/** Holds a range, put in order, made long enough, and moved so that it meets the data. */
export function hold(window: TimeWindow, range: TimeRange, held: TimeRange): TimeWindow {
  const whole = spanMs('all', held);
  const span = Math.min(whole, Math.max(SHORTEST_MS, Math.abs(range.toMs - range.fromMs)));
  const middle = (range.fromMs + range.toMs) / 2;
  const fromMs = Math.max(held.toMs - whole, Math.min(held.toMs - span, middle - span / 2));
  return { kind: 'held', fromMs, toMs: fromMs + span, liveSpan: liveSpanOf(window) };
}

/** Zooms about a moment; without one a live window goes on following and a held one keeps its middle. */
export function zoom(window: TimeWindow, factor: number, held: TimeRange, aboutMs?: number): TimeWindow {
  const range = rangeOf(window, held);
  const span = range.toMs - range.fromMs;
  if (window.kind === 'live' && aboutMs === undefined) {
    const wanted = Math.max(SHORTEST_MS, span * factor);
    return { kind: 'live', span: wanted >= spanMs('all', held) ? 'all' : wanted };
  }
  const about = aboutMs ?? range.fromMs + span / 2;
  const share = (about - range.fromMs) / span;
  const next = Math.max(SHORTEST_MS, span * factor);
  return hold(window, { fromMs: about - share * next, toMs: about + (1 - share) * next }, held);
}

/** Moves the window by a share of its length: negative into the past. */
export function pan(window: TimeWindow, share: number, held: TimeRange): TimeWindow {
  const range = rangeOf(window, held);
  const by = share * (range.toMs - range.fromMs);
  return hold(window, { fromMs: range.fromMs + by, toMs: range.toMs + by }, held);
}

export const backToLive = (window: TimeWindow): TimeWindow => ({ kind: 'live', span: liveSpanOf(window) });
