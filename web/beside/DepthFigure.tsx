/** Liners true to depth on one axis of depth, what is gained and lost between two of them, and readings over that depth. */
import { signal } from '@preact/signals';
import { useMemo, useRef } from 'preact/hooks';
import type { JointState } from '../../src/live/messages.ts';
import type { Job } from '../../src/plan/job.ts';
import type { JointPair } from '../../src/replay/jointsBeside.ts';
import type { Pass } from '../../src/replay/passes.ts';
import { figure, unitLabel } from '../figures.ts';
import { useElementSize } from '../liner/elementSize.ts';
import { JointFigure } from '../liner/JointFigure.tsx';
import { type DepthWindow, depthMarks, lengthUnitM } from '../liner/linerScale.ts';
import { unitSystem } from '../state.ts';
import { Cut } from './Cut.tsx';
import { DepthTrackFigure } from './DepthTrackFigure.tsx';
import { DEPTH_TRACKS } from './depthTracks.ts';
import { PairMarks } from './PairMarks.tsx';

export interface FigureSide {
  readonly job: Job;
  readonly joints: readonly JointState[];
  /** Drawn over depth; empty: nothing is. */
  readonly passes: readonly Pass[];
  /** Depth of the well that stands at zero of the axis, m. */
  readonly originM: number;
}

interface DepthFigureProps {
  /** One, or two that stand beside each other. */
  readonly sides: readonly FigureSide[];
  /** `halves`: both on one liner, the first at the left of its middle. `apart`: a liner each. */
  readonly liners: 'halves' | 'apart';
  /** By the axis, m. */
  readonly window: DepthWindow;
  readonly height: number;
  readonly pairs: readonly JointPair[];
  /** `changes`: what becomes of each joint is written beside it, and there are no tracks. */
  readonly beside: 'changes' | 'tracks';
}

const TOP = 34;
const BOTTOM = 8;
const AXIS = 62;
const LINER = { width: 96, bare: 17, wide: 34 } as const;
const NAMES = 46;
const MARKS = 56;
const NAME_EVERY_PX = 16;

export function DepthFigure({ sides, liners, window, height, pairs, beside }: DepthFigureProps) {
  const frame = useRef<HTMLDivElement>(null);
  const { width } = useElementSize(frame).value;
  const plotHeight = height - TOP - BOTTOM;
  const pxPerM = plotHeight / (window.to - window.from);
  const y = (depth: number): number => (depth - window.from) * pxPerM;
  const columns = liners === 'halves' ? 1 : sides.length;
  const marksX = AXIS + columns * (LINER.width + (liners === 'halves' ? 0 : NAMES));
  const restX = marksX + (pairs.length > 0 ? MARKS : 0);
  const scale = { pxPerM, window, height: plotHeight };
  return (
    <div class="depth-figure" ref={frame} data-testid="depth-figure">
      {width > 0 && (
        <svg width={width} height={height} role="img" aria-label="The liner by depth">
          <DepthAxis window={window} y={y} width={width} height={plotHeight} />
          {liners === 'halves' ? (
            <Halves sides={sides} scale={scale} />
          ) : (
            sides.map((side, i) => <WholeLiner key={i} side={side} at={i} alone={sides.length === 1} scale={scale} />)
          )}
          {pairs.length > 0 && (
            <PairMarks
              sides={sides}
              pairs={pairs}
              place={{ x: marksX, top: TOP, height: plotHeight, width: MARKS, textWidth: width - restX }}
              y={y}
              pxPerM={pxPerM}
              written={beside === 'changes'}
            />
          )}
          {beside === 'tracks' &&
            DEPTH_TRACKS.map((track, i) => {
              const each = (width - restX) / DEPTH_TRACKS.length;
              const place = { x: restX + i * each + 6, top: TOP, width: each - 10, height: plotHeight };
              return <DepthTrackFigure key={track.column} track={track} sides={sides} place={place} y={y} />;
            })}
        </svg>
      )}
    </div>
  );
}

interface AxisProps {
  readonly window: DepthWindow;
  readonly y: (depth: number) => number;
  readonly width: number;
  readonly height: number;
}

function DepthAxis({ window, y, width, height }: AxisProps) {
  const system = unitSystem.value;
  return (
    <g transform={`translate(0 ${TOP})`}>
      <text class="depth-head" x={AXIS - 8} y="-20">
        {unitLabel('length', system)}
      </text>
      {depthMarks(window, height, lengthUnitM(system)).map((depth) => (
        <g key={depth} class="depth-line">
          <path d={`M${AXIS - 4} ${y(depth)}H${width}`} />
          <text x={AXIS - 8} y={y(depth)}>
            {figure('length', depth, system, window.to - window.from < 30 ? 1 : 0)}
          </text>
        </g>
      ))}
    </g>
  );
}

interface Scale {
  readonly pxPerM: number;
  readonly window: DepthWindow;
  readonly height: number;
}

interface JointsProps {
  readonly side: FigureSide;
  readonly scale: Scale;
  readonly middle: number;
}

function Joints({ side, scale, middle }: JointsProps) {
  const { job, joints, originM } = side;
  const states = useMemo(() => job.joints.map(({ index }) => signal(joints[index] ?? null)), [job, joints]);
  const { from, to } = scale.window;
  return (
    <>
      {job.joints
        .filter(({ top, bottom }) => bottom - originM > from && top - originM < to)
        .map((joint) => (
          <JointFigure
            key={joint.name}
            joint={joint}
            state={states[joint.index]!}
            girth={{ middle, bare: LINER.bare, wide: LINER.wide }}
            pxPerM={scale.pxPerM}
            origin={from + originM}
            detailed={scale.pxPerM > 6}
            onChoose={() => undefined}
          />
        ))}
      {job.joints.slice(1).map(({ name, top }) => (
        <path
          key={name}
          class="thread"
          d={`M${middle - LINER.wide} ${(top - originM - from) * scale.pxPerM}h${2 * LINER.wide}`}
        />
      ))}
    </>
  );
}

const SIDE_SIGNS = ['A', 'B'] as const;

/** One liner, cut along its middle: the first at the left, the second at the right. */
function Halves({ sides, scale }: { readonly sides: readonly FigureSide[]; readonly scale: Scale }) {
  const half = LINER.width / 2;
  return (
    <>
      {sides.map((side, i) => (
        <g key={i} data-testid={`half-${SIDE_SIGNS[i]}`}>
          <text class={`side-sign side-${SIDE_SIGNS[i]}`} x={AXIS + half + (i === 0 ? -18 : 18)} y={TOP - 10}>
            {SIDE_SIGNS[i]}
          </text>
          <Cut y={TOP} x={AXIS + i * half} width={half} height={scale.height}>
            <Joints side={side} scale={scale} middle={i === 0 ? half : 0} />
          </Cut>
        </g>
      ))}
      <path class="middle-line" d={`M${AXIS + half} ${TOP - 24}v${scale.height + 24}`} />
    </>
  );
}

interface WholeLinerProps {
  readonly side: FigureSide;
  readonly at: number;
  readonly alone: boolean;
  readonly scale: Scale;
}

function WholeLiner({ side, at, alone, scale }: WholeLinerProps) {
  const x = AXIS + at * (LINER.width + NAMES);
  const { job, originM } = side;
  const inView = job.joints.filter(
    ({ top, bottom }) => bottom - originM > scale.window.from && top - originM < scale.window.to,
  );
  const every = Math.max(1, Math.ceil((NAME_EVERY_PX * inView.length) / scale.height));
  const middleOf = (top: number, bottom: number): number => {
    const from = Math.max(top - originM, scale.window.from);
    return ((from + Math.min(bottom - originM, scale.window.to)) / 2 - scale.window.from) * scale.pxPerM;
  };
  return (
    <g data-testid={`liner-${SIDE_SIGNS[at]}`}>
      {!alone && (
        <text class={`side-sign side-${SIDE_SIGNS[at]}`} x={x + LINER.width / 2} y={TOP - 10}>
          {SIDE_SIGNS[at]}
        </text>
      )}
      <Cut y={TOP} x={x} width={LINER.width + NAMES} height={scale.height}>
        <Joints side={side} scale={scale} middle={LINER.width / 2} />
        {inView.map(({ name, top, bottom }, i) =>
          i % every === 0 ? (
            <text key={name} class="name" x={LINER.width - 8} y={middleOf(top, bottom)}>
              {name}
            </text>
          ) : null,
        )}
      </Cut>
    </g>
  );
}
