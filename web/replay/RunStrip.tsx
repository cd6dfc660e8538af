/** The run from its beginning to its newest sample, which is also what one drags: events, depth, phases, holes. */
import { useComputed } from '@preact/signals';
import type { TargetedPointerEvent } from 'preact';
import { useRef } from 'preact/hooks';
import { EVENTS } from '../../src/events.ts';
import type { Overview } from '../../src/replay/overview.ts';
import { eventName } from '../events/eventWords.ts';
import { figure, rigTime, unitLabel } from '../figures.ts';
import { useElementSize } from '../liner/elementSize.ts';
import { ingest, job, journalLines, unitSystem } from '../state.ts';
import { seekTo, stepSamples } from './ownMoves.ts';
import { isReplay, overview, shownMs } from './replayState.ts';
import {
  depthExtent,
  depthPath,
  holePath,
  jointStretches,
  msOf,
  phasePaths,
  type Strip,
  ticksOf,
  xOf,
} from './runFigure.ts';
import { StripNotes } from './StripNotes.tsx';

const HEIGHT = 88;
const EVENTS_Y = 7;
const DEPTH = { top: 17, bottom: 46 } as const;
const PHASES_BAND = { top: 49, height: 8 } as const;
const JOINTS_BAND = { top: 58, height: 15 } as const;
const TICK_Y = 85;
/** Room that a letter of a joint's name takes, px. */
const LETTER_PX = 8;
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
      <path class="hole-run" d={holePath(of, strip, JOINTS_BAND.top + JOINTS_BAND.height)} />
      <LeftOutMarks strip={strip} offsetMs={offsetMs} />
      <DepthEnds of={of} />
      <JointBand of={of} strip={strip} />
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

/** A hole that is damage of the record, not silence of the rig: crossed, and named where the sign in the masthead leads. */
function LeftOutMarks({ strip, offsetMs }: { readonly strip: Strip; readonly offsetMs: number }) {
  return (
    <>
      {(ingest.value?.leftOut?.places ?? []).map(({ line, fromMs, toMs }, i) => {
        const atMs = fromMs ?? toMs;
        if (atMs === null) return null;
        const x = xOf(strip, (atMs + (toMs ?? atMs)) / 2);
        return (
          <path
            key={i}
            class="left-out-run"
            data-testid="left-out-run"
            d="M-5 -5L5 5M5 -5L-5 5"
            transform={`translate(${x} ${(DEPTH.top + DEPTH.bottom) / 2})`}
          >
            <title>{`${rigTime(atMs, offsetMs)} ${line}`}</title>
          </path>
        );
      })}
    </>
  );
}

/** What was entered, as far as it was told at once, else as it was fetched; notes are drawn by themselves. */
function entriesOf(of: Overview): Overview['entries'] {
  const told = journalLines.value;
  const before = of.entries.slice(0, told[0]?.number ?? of.entries.length);
  return [...before, ...told].filter(({ action }) => action !== 'note');
}

/** The string's end at its highest and at its deepest: between them the curve is drawn. */
function DepthEnds({ of }: { readonly of: Overview }) {
  const system = unitSystem.value;
  const [shallow, deep] = depthExtent(of);
  if (Number.isNaN(shallow)) return null;
  return (
    <>
      <text class="depth-end" x="4" y="13">
        {figure('length', shallow, system, 0)}
      </text>
      <text class="depth-end" x="4" y={DEPTH.bottom}>
        {figure('length', deep, system, 0)} {unitLabel('length', system)}
      </text>
    </>
  );
}

/** Which joint was worked on when; a name stands where there is room for it. */
function JointBand({ of, strip }: { readonly of: Overview; readonly strip: Strip }) {
  const { top, height } = JOINTS_BAND;
  return (
    <>
      {jointStretches(of).map(({ joint, fromMs, toMs }) => {
        const x = xOf(strip, fromMs);
        const width = Math.max(1, xOf(strip, toMs) - x);
        return (
          <g key={`${joint} ${fromMs}`} data-testid="joint-run">
            <title>{joint}</title>
            <rect class="joint-run" x={x} y={top} width={width} height={height} />
            {width > LETTER_PX * joint.length + 4 && (
              <text class="joint-run-name" x={x + width / 2} y={top + height / 2}>
                {joint}
              </text>
            )}
          </g>
        );
      })}
    </>
  );
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
