/** Writes the words of the panel: values beside the tracks, the range or moment above them, a summary for those who listen. */
import { firstMs, rowCount, type TraceStore, VALUE_INDEX } from '../../src/traces/traceStore.ts';
import { type ChartState, columnOf } from './chartState.ts';
import { bucketReadings, newestReadings, type Reading, readingsInWords } from './readout.ts';
import { momentText, offsetText, spanText } from './timeAxis.ts';
import type { TimeWindow } from './timeWindow.ts';
import { type PressureAt, TRACKS } from './tracks.ts';
import { numberText, type ValueScale } from './valueScale.ts';

export interface TracesElements {
  /** One for each track, in order: where its canvas goes. */
  readonly cells: readonly HTMLElement[];
  /** One for each curve of `CURVES`: where its value, unit and scale go. */
  readonly values: readonly HTMLElement[];
  readonly unitLabels: readonly HTMLElement[];
  readonly scales: readonly (HTMLElement | null)[];
  /** Told in `data-at` whether the values are the newest or those at the cursor. */
  readonly panel: HTMLElement;
  /** The range, or the moment under the cursor, in words. */
  readonly moment: HTMLElement;
  /** That the oldest rows of the run are no longer there, when their place is in sight. */
  readonly cut: HTMLElement;
  /** The offset of the rig's clock, beside the time axis. */
  readonly zone: HTMLElement;
  /** Read out by a screen reader when the keyboard moves the cursor. */
  readonly spoken: HTMLElement;
  /** A summary of what is on screen, in words, not read out by itself. */
  readonly summary: HTMLElement;
}

export interface TraceWords {
  /** @param bucket the one under the cursor, or -1 for the newest values @param cut the run began before the rows that are held */
  write(store: TraceStore, window: TimeWindow, bucket: number, cut: boolean): void;
  /** Makes the next `write` renew the summary, which else happens now and then. */
  summariseSoon(): void;
}

const SUMMARY_EVERY_MS = 5_000;

export function createTraceWords(
  elements: TracesElements,
  state: ChartState,
  scaleOf: (track: number, curve: number) => ValueScale,
): TraceWords {
  const written = new Map<HTMLElement, string>();
  let summaryAtMs = -Infinity;
  let summarised: TraceStore | undefined;

  /** Writes only what changed: the page is not laid out again for the same words. */
  function set(element: HTMLElement | null | undefined, text: string): void {
    if (!element || written.get(element) === text) return;
    written.set(element, text);
    element.textContent = text;
  }

  function writeReadings(readings: readonly Reading[], band: string, judged: PressureAt): void {
    let index = 0;
    TRACKS.forEach((track, t) => {
      track.curves.forEach((curve, c) => {
        const value = elements.values[index]!;
        set(value, readings[index]!.text);
        value.closest('.traces-curve')!.classList.toggle('is-breach', readings[index]!.breach);
        set(elements.unitLabels[index], state.units.label(curve.quantity));
        const about = curve.at === undefined ? scaleText(scaleOf(t, c)) : curve.at === judged ? band : '';
        set(elements.scales[index], about);
        index++;
      });
    });
  }

  return {
    write(store, window, bucket, cut) {
      const { buckets } = state.shown;
      const newest = newestReadings(store, state.units, judgedIn(state, store, -1));
      const judged = judgedIn(state, store, bucket);
      const at = buckets && bucket >= 0 ? bucketReadings(buckets, bucket, state.units, judged) : undefined;
      elements.panel.dataset.at = at ? 'cursor' : 'newest';
      writeReadings(at ?? newest, bandText(state, store, bucket), judged);
      const range = rangeText(state, store, window);
      set(elements.moment, at ? momentText(buckets!.firstMs[bucket]!, state.offsetMs) : range);
      elements.moment.classList.toggle('is-plain', window.kind === 'live' && !at);
      const gone = cut && state.range.fromMs <= firstMs(store);
      set(elements.cut, gone ? cutText(store, state.offsetMs) : '');
      set(elements.zone, offsetText(state.offsetMs));
      const now = performance.now();
      if (now - summaryAtMs < SUMMARY_EVERY_MS && store === summarised) return;
      summaryAtMs = now;
      summarised = store;
      const zone = offsetText(state.offsetMs);
      const before = cut ? ` ${cutText(store, state.offsetMs)}` : '';
      set(elements.summary, `${range}, rig time ${zone}. Newest: ${readingsInWords(newest, state.units)}.${before}`);
    },
    summariseSoon() {
      summaryAtMs = -Infinity;
    },
  };
}

function scaleText({ min, max }: ValueScale): string {
  const decimals = Number.isInteger(min) && Number.isInteger(max) ? 0 : 1;
  return `${numberText(min, decimals)}…${numberText(max, decimals)}`;
}

/** The recipe's band in force at a bucket, or at the newest row where that is -1; kPa, NaN for none. */
function bandIn(state: ChartState, store: TraceStore, bucket: number): readonly [min: number, max: number] {
  const { min: values, count } = store.levels[0]!;
  const newest = (name: 'pressureMin' | 'pressureMax') => values[VALUE_INDEX[name]]![count - 1];
  const min = bucket >= 0 ? columnOf(state, 'pressureMin').min[bucket] : newest('pressureMin');
  const max = bucket >= 0 ? columnOf(state, 'pressureMax').max[bucket] : newest('pressureMax');
  return [min ?? Number.NaN, max ?? Number.NaN];
}

/** Which pressure that band is about. */
export const judgedIn = (state: ChartState, store: TraceStore, bucket: number): PressureAt =>
  state.judgedAt(...bandIn(state, store, bucket));

function bandText(state: ChartState, store: TraceStore, bucket: number): string {
  const [min, max] = bandIn(state, store, bucket).map((kpa) => numberText(state.units.out('pressure', kpa), 0));
  return min === '–' && max === '–' ? 'no band now' : `band ${min}…${max}`;
}

const cutText = (store: TraceStore, offsetMs: number): string =>
  `Traces begin at ${momentText(firstMs(store), offsetMs)}: older rows are no longer held.`;

function rangeText(state: ChartState, store: TraceStore, window: TimeWindow): string {
  const { fromMs, toMs } = state.range;
  if (rowCount(store) === 0) return 'No rows yet';
  const span = spanText(toMs - fromMs);
  return window.kind === 'live' ? `Last ${span}` : `${momentText(fromMs, state.offsetMs)}, ${span}`;
}
