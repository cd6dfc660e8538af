/** The run from its beginning to its newest sample, which is also what one drags: events, depth, phases, holes. */
import { useComputed } from '@preact/signals';
import type { TargetedPointerEvent } from 'preact';
import { useRef } from 'preact/hooks';
import { EVENTS } from '../../src/events.ts';
import type { Overview } from '../../src/replay/overview.ts';
import { eventName } from '../events/eventWords.ts';
import { rigTime } from '../figures.ts';
import { useElementSize } from '../liner/elementSize.ts';
import { job, journalLines } from '../state.ts';
import { seekTo, stepSamples } from './ownMoves.ts';
import { isReplay, overview, shownMs } from './replayState.ts';
import { depthPath, holePath, msOf, phasePaths, type Strip, ticksOf, xOf } from './runFigure.ts';
import { StripNotes } from './StripNotes.tsx';

const HEIGHT = 76;
const EVENTS_Y = 7;
const DEPTH = { top: 17, bottom: 46 } as const;
const PHASES_BAND = { top: 50, height: 10 } as const;
const TICK_Y = 73;
const EDGE_PX = 18;
const PAGE_MS = 600_000;

const offsetNow = (): number => job.value?.stream.utcOffsetMs ?? 0;

export function RunStrip() {
  const frame = useRef<HTMLDivElement>(null);
  const { width } = useElementSize(frame).value;
  const whole = overview.value;
  const strip = whole ? { width, fromMs: whole.fromMs, toMs: whole.toMs } : null;
  const at = shownMs.value;
  const toPointer = (event: TargetedPointerEvent<HTMLDivElement>): void => {
    if (strip) seekTo(msOf(strip, event.clientX - event.currentTarget.getBoundingClientRect().left));
  };
  const down = (event: TargetedPointerEvent<HTMLDivElement>): void => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    toPointer(event);
  };
  const drag = (event: TargetedPointerEvent<HTMLDivElement>): void => {
    if (event.currentTarget.hasPointerCapture(event.pointerId)) toPointer(event);
  };
  return (
    <div
      class="run-strip"
      ref={frame}
      data-testid="run-strip"
      role="slider"
      tabIndex={0}
      aria-label="Instant of the run"
      aria-valuemin={whole?.fromMs ?? 0}
      aria-valuemax={whole?.toMs ?? 0}
      aria-valuenow={at ?? 0}
      aria-valuetext={at === null ? '' : rigTime(at, offsetNow())}
      onPointerDown={down}
      onPointerMove={drag}
      onKeyDown={onKey}
    >
      {whole && strip && width > 0 && <Figure whole={whole} strip={strip} />}
      {strip && width > 0 && <StripNotes strip={strip} height={HEIGHT} />}
      {strip && width > 0 && <Playhead strip={strip} />}
    </div>
  );
}

function onKey(event: KeyboardEvent): void {
  const whole = overview.peek();
  const at = shownMs.peek();
  if (!whole || at === null || event.ctrlKey || event.altKey || event.metaKey) return;
  const far = event.shiftKey ? 60 : 1;
  const keys: Record<string, () => void> = {
    ArrowLeft: () => stepSamples(-far),
    ArrowRight: () => stepSamples(far),
    PageUp: () => seekTo(at - PAGE_MS),
    PageDown: () => seekTo(at + PAGE_MS),
    Home: () => seekTo(whole.fromMs),
    End: () => seekTo(whole.toMs),
  };
  const act = keys[event.key];
  if (!act) return;
  event.preventDefault();
  event.stopPropagation();
  act();
}

/** Drawn once for each state of the run, not for each instant that is looked at. */
function Figure({ whole, strip }: { readonly whole: Overview; readonly strip: Strip }) {
  const drawn = useComputed(() => overview.value);
  const of = drawn.value ?? whole;
  const offsetMs = offsetNow();
  // Half a label would say another time.
  const isInside = (ms: number): boolean => xOf(strip, ms) > EDGE_PX && xOf(strip, ms) < strip.width - EDGE_PX;
  return (
    <svg class="run-figure" width={strip.width} height={HEIGHT} aria-hidden="true">
      <defs>
        <pattern id="no-samples" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path class="hole-line" d="M0 3H6" />
        </pattern>
      </defs>
      <path class="depth-run" d={depthPath(of, strip, DEPTH.top, DEPTH.bottom)} />
      {[...phasePaths(of, strip, PHASES_BAND.top, PHASES_BAND.height)].map(([family, path]) => (
        <path key={family} class={`phase-run phase-${family.replace(' ', '-')}`} d={path} />
      ))}
      <path class="hole-run" d={holePath(of, strip, PHASES_BAND.top + PHASES_BAND.height)} />
      {entriesOf(of).map(({ atMs, action, text }, i) => (
        <path key={i} class="entry-run" d={`M${xOf(strip, atMs)} ${DEPTH.top - 3}v${DEPTH.bottom - DEPTH.top + 6}`}>
          <title>{`${rigTime(atMs, offsetMs)} ${action}: ${text}`}</title>
        </path>
      ))}
      {of.events.map((event) => (
        <path
          key={event.id}
          class={`event-run event-${EVENTS[event.kind].priority}`}
          d="M0 -5.5L5 3.5H-5z"
          transform={`translate(${xOf(strip, event.fromMs)} ${EVENTS_Y + 1})`}
        >
          <title>{`${rigTime(event.fromMs, offsetMs)} ${eventName(event)}${event.joint ? ` on ${event.joint}` : ''}`}</title>
        </path>
      ))}
      {ticksOf(strip, offsetMs)
        .filter(isInside)
        .map((ms) => (
          <text key={ms} class="tick-run" x={xOf(strip, ms)} y={TICK_Y}>
            {rigTime(ms, offsetMs).slice(0, 5)}
          </text>
        ))}
    </svg>
  );
}

/** What was entered, as far as it was told at once, else as it was fetched; notes are drawn by themselves. */
function entriesOf(of: Overview): Overview['entries'] {
  const told = journalLines.value;
  const before = of.entries.slice(0, told[0]?.number ?? of.entries.length);
  return [...before, ...told].filter(({ action }) => action !== 'note');
}

function Playhead({ strip }: { readonly strip: Strip }) {
  const at = shownMs.value;
  if (at === null) return null;
  return (
    <svg class={`playhead${isReplay.value ? ' is-replay' : ''}`} width={strip.width} height={HEIGHT} aria-hidden="true">
      <path d={`M${xOf(strip, at)} 0v${HEIGHT - 14}`} />
      <circle cx={xOf(strip, at)} cy={HEIGHT - 17} r="6" />
    </svg>
  );
}
