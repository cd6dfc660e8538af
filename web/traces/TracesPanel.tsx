/** The traces: what the readings were over time, against the recipe's window. */
import { effect, useComputed, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { DEFAULT_GAP_AFTER_S } from '../../src/plan/job.ts';
import { drawnNotes } from '../journal/notesShown.ts';
import { recorded } from '../recorded.ts';
import { commandReplay } from '../replay/barWanted.ts';
import { looking } from '../replay/replayState.ts';
import { job, now, onRows, runName, theme, unitSystem } from '../state.ts';
import { fetchTraces } from './fetchTraces.ts';
import { judgedAtIn } from './judgedAt.ts';
import { followPointers } from './pointerGestures.ts';
import { PAN_STEP, SPANS, type TimeWindow, ZOOM_STEP } from './timeWindow.ts';
import { createTraceHistory } from './traceHistory.ts';
import { createTracesView, type TracesView } from './tracesView.ts';
import { BREACH_SHAPES, edgeOf, TRACKS } from './tracks.ts';
import './traces.css';
import 'uplot/dist/uPlot.min.css';

const KEYS_SAY =
  'Left and right arrows move the cursor, with Shift ten steps; Home and End go to the edges; Page Up and Page Down move in time; plus and minus zoom; 1 to 4 choose the span; L goes back to live; Escape clears the cursor.';

const STARTS_WITH: TimeWindow = { kind: 'live', span: 3_600_000 };

export function TracesPanel() {
  const area = useRef<HTMLDivElement>(null);
  const panel = useRef<HTMLDivElement>(null);
  const view = useRef<TracesView | null>(null);
  const window = useSignal<TimeWindow>(STARTS_WITH);
  const knowsTool = useComputed(() => now.value?.toolPressure != null);

  useEffect(() => {
    const started = start(panel.current!, area.current!, (next) => {
      window.value = next;
    });
    view.current = started.view;
    return started.stop;
  }, []);

  return (
    <div class={`traces-panel${knowsTool.value ? '' : ' is-without-tool'}`} ref={panel}>
      <Toolbar window={window.value} view={view} />
      <p class="traces-cut" data-testid="traces-cut" />
      {/* biome-ignore lint/a11y/useSemanticElements: a chart that takes keys has no element of its own. */}
      <div
        class="traces-area"
        ref={area}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the keyboard moves the cursor here.
        tabIndex={0}
        role="group"
        aria-roledescription="chart"
        aria-label="Traces with a cursor"
        aria-describedby="traces-summary traces-keys"
        onKeyDown={(event) => view.current && onKey(event, view.current)}
      >
        {TRACKS.map((track, t) => (
          <TrackRow key={track.curves[0].column} t={t} />
        ))}
        <span class="traces-zone" aria-hidden="true" />
      </div>
      <p class="traces-hidden" id="traces-summary" />
      <p class="traces-hidden" id="traces-keys">
        {KEYS_SAY}
      </p>
      <p class="traces-hidden traces-spoken" aria-live="polite" />
    </div>
  );
}

function TrackRow({ t }: { t: number }) {
  const track = TRACKS[t]!;
  return (
    <div class="traces-track">
      <div class="traces-cell" aria-hidden="true" />
      <div class={track.band ? 'traces-labels traces-banded' : 'traces-labels'}>
        {track.curves.map((curve, c) => (
          <div key={curve.column} class={`traces-curve traces-curve-${c} traces-of-${curve.column}`}>
            <div class="traces-name">
              <svg class="traces-key" viewBox="0 0 18 6" aria-hidden="true">
                <path d="M0 3H18" />
              </svg>
              <span>{curve.name}</span>
              <span class="traces-unit" />
            </div>
            <div class="traces-reading">
              <span class="traces-value" />
              {(c === 1 || track.band) && <span class="traces-scale" />}
              <span class="traces-breach">{BREACH_SHAPES[edgeOf(track, c)]} limit</span>
            </div>
          </div>
        ))}
      </div>
    </div>
  );
}

function Toolbar({ window, view }: { window: TimeWindow; view: { readonly current: TracesView | null } }) {
  const span = window.kind === 'live' ? window.span : undefined;
  const act = (does: (view: TracesView) => void) => () => {
    if (view.current) does(view.current);
  };
  return (
    <div class="traces-bar" role="toolbar" aria-label="Time shown">
      <div class="traces-group">
        {SPANS.map((each) => (
          <button
            type="button"
            key={each.label}
            aria-pressed={span === each.span}
            aria-label={`Show the ${each.says}`}
            title={`Show the ${each.says}`}
            onClick={act((it) => it.change(() => ({ kind: 'live', span: each.span })))}
          >
            {each.label}
          </button>
        ))}
      </div>
      <div class="traces-group">
        <button type="button" aria-label="Earlier" onClick={act((it) => it.panBy(-PAN_STEP))}>
          ◀
        </button>
        <button type="button" aria-label="Later" onClick={act((it) => it.panBy(PAN_STEP))}>
          ▶
        </button>
        <button type="button" aria-label="Zoom in" onClick={act((it) => it.zoomBy(ZOOM_STEP))}>
          +
        </button>
        <button type="button" aria-label="Zoom out" onClick={act((it) => it.zoomBy(1 / ZOOM_STEP))}>
          −
        </button>
      </div>
      <output class="traces-moment" aria-live="off" />
      {window.kind === 'held' && (
        <button type="button" class="traces-live" aria-label="Back to live" onClick={act(toNewest)}>
          <span class="traces-long">Back to live</span>
          <span class="traces-short">{recorded.value ? 'End' : 'Live'}</span>
        </button>
      )}
    </div>
  );
}

/** Wires the panel to the page's state; everything that it starts is stopped by `stop`. */
function start(panel: HTMLElement, area: HTMLElement, onWindow: (window: TimeWindow) => void) {
  const all = (query: string) => [...panel.querySelectorAll<HTMLElement>(query)];
  const one = (query: string) => panel.querySelector<HTMLElement>(query)!;
  const history = createTraceHistory(fetchTraces, () => view.refresh());
  const view = createTracesView(
    {
      cells: all('.traces-cell'),
      values: all('.traces-value'),
      unitLabels: all('.traces-unit'),
      scales: all('.traces-curve').map((curve) => curve.querySelector<HTMLElement>('.traces-scale')),
      panel,
      moment: one('.traces-moment'),
      cut: one('.traces-cut'),
      zone: one('.traces-zone'),
      spoken: one('.traces-spoken'),
      summary: one('#traces-summary'),
    },
    history,
    onWindow,
  );
  const stops = [
    effect(() => view.setTheme(theme.value)),
    effect(() => view.setUnits(unitSystem.value)),
    effect(() => view.setJudgedAt(judgedAtIn(job.value))),
    effect(() => {
      const pinned = drawnNotes.value.flatMap(({ atMs, number }) => (atMs === null ? [] : [{ atMs, number }]));
      view.setNotes(pinned);
    }),
    effect(() => view.setOffset(job.value?.stream.utcOffsetMs ?? 0)),
    effect(() => {
      if (runName.value !== null) history.restart(job.peek()?.stream.gapAfterMs ?? DEFAULT_GAP_AFTER_S * 1000);
    }),
    followReplay(view),
    onRows((rows) => {
      history.addRows(rows);
      view.refresh();
    }),
    followPointers(area, view),
    () => history.stop(),
    () => view.destroy(),
  ];
  return {
    view,
    stop: () => {
      for (const stop of stops) stop();
    },
  };
}

/** The whole screen goes back to live: traces that ran on beside an instant that is over would mislead. */
function toNewest(view: TracesView): void {
  if (looking.peek().kind === 'replay') commandReplay('live');
  else view.toLive();
}

/** While another instant is looked at the traces end there; how much is shown stays as it was. */
function followReplay(view: TracesView): () => void {
  let before: 'live' | 'replay' = 'live';
  return effect(() => {
    const look = looking.value;
    if (look.kind === 'replay') {
      view.endAt(look.atMs);
    } else if (before === 'replay') {
      view.clearCursor();
      view.toLive();
    }
    before = look.kind;
  });
}

function onKey(event: KeyboardEvent, view: TracesView): void {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const far = event.shiftKey ? 10 : 1;
  const keys: Record<string, () => void> = {
    ArrowLeft: () => view.moveCursor(-far),
    ArrowRight: () => view.moveCursor(far),
    Home: () => view.moveCursor('first'),
    End: () => view.moveCursor('last'),
    PageUp: () => view.panBy(-PAN_STEP),
    PageDown: () => view.panBy(PAN_STEP),
    '+': () => view.zoomBy(ZOOM_STEP),
    '=': () => view.zoomBy(ZOOM_STEP),
    '-': () => view.zoomBy(1 / ZOOM_STEP),
    l: () => toNewest(view),
    Escape: () => view.clearCursor(),
  };
  SPANS.forEach((each, i) => {
    keys[String(i + 1)] = () => view.change(() => ({ kind: 'live', span: each.span }));
  });
  const act = keys[event.key] ?? keys[event.key.toLowerCase()];
  if (!act) return;
  event.preventDefault();
  event.stopPropagation();
  act();
}
