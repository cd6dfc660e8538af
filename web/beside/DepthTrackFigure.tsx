/** One reading over depth: every pass, those of two sides over each other, and the recipe's window as a band. */
import type { Recipe } from '../../src/plan/job.ts';
import { figure, unitLabel } from '../figures.ts';
import { unitSystem } from '../state.ts';
import type { FigureSide } from './DepthFigure.tsx';
import { type DepthTrack, extentOf, linePath } from './depthTracks.ts';

interface TrackProps {
  readonly track: DepthTrack;
  readonly sides: readonly FigureSide[];
  readonly place: Readonly<Record<'x' | 'top' | 'width' | 'height', number>>;
  /** By the axis of depth. */
  readonly y: (depth: number) => number;
}

const recipesOf = ({ job }: FigureSide): Recipe[] => job.joints.flatMap(({ recipe }) => recipe ?? []);

export function DepthTrackFigure({ track, sides, place, y }: TrackProps) {
  const system = unitSystem.value;
  const { width, height } = place;
  const [least, most] = extentOf(
    track,
    sides.flatMap(({ passes }) => passes),
    [...new Set(sides.flatMap(recipesOf))],
  );
  const x = (value: number): number => ((value - least) / ((most - least) * 1.04)) * width;
  const passes = sides.reduce((sum, side) => sum + side.passes.length, 0);
  return (
    <g transform={`translate(${place.x} ${place.top})`} class="depth-track">
      <text class="track-title" x={width / 2} y="-20">
        {track.title}, {unitLabel(track.quantity, system)}
      </text>
      <text class="track-least" x="0" y="-5">
        {figure(track.quantity, least, system)}
      </text>
      <text class="track-most" x={width} y="-5">
        {figure(track.quantity, most, system)}
      </text>
      <svg
        width={width}
        height={height}
        role="img"
        aria-label={`${track.title} over depth, ${passes} passes`}
        data-testid={`track-${track.column}`}
      >
        {sides.map((side, i) => (
          <Bands key={i} track={track} side={side} second={i > 0} x={x} y={y} width={width} height={height} />
        ))}
        {sides.flatMap((side, i) =>
          side.passes.map((pass) => (
            <path
              key={`${i} ${pass.joint} ${pass.fromMs}`}
              class={`pass-line${pass.isLast ? ' is-last' : ''}${i > 0 ? ' is-second' : ''}`}
              data-testid="pass-line"
              d={linePath(pass, track.column, x, (depth) => y(depth - side.originM))}
            />
          )),
        )}
        <path class="track-frame" d={`M0.5 0V${height}M${width - 0.5} 0V${height}`} />
        {least < 0 && <path class="track-zero" d={`M${x(0)} 0V${height}`} />}
      </svg>
    </g>
  );
}

interface BandsProps {
  readonly track: DepthTrack;
  readonly side: FigureSide;
  /** Its windows are drawn as outlines, so that both can be read. */
  readonly second: boolean;
  readonly x: (value: number) => number;
  readonly y: (depth: number) => number;
  readonly width: number;
  readonly height: number;
}

function Bands({ track, side, second, x, y, width, height }: BandsProps) {
  return (
    <>
      {side.job.joints.map(({ name, recipe, from, to }) => {
        const [least, most] = recipe ? track.window(recipe) : [-Infinity, Infinity];
        const [top, bottom] = [y(from - side.originM), y(to - side.originM)];
        const isElsewhere = bottom <= 0 || top >= height;
        if (isElsewhere || (least === -Infinity && most === Infinity)) return null;
        const left = least === -Infinity ? 0 : x(least);
        const right = most === Infinity ? width : x(most);
        return (
          <rect
            key={name}
            class={`recipe-band${second ? ' is-second' : ''}`}
            data-testid="recipe-band"
            x={left}
            y={top}
            width={Math.max(0, right - left)}
            height={bottom - top}
          />
        );
      })}
    </>
  );
}
