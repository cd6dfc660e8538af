/** One joint as drawn: its body, what has become of the part to be expanded, and the form of its kind. */
import type { Signal } from '@preact/signals';
import type { JointState } from '../../src/live/messages.ts';
import type { Joint } from '../../src/plan/job.ts';
import { jointPieces, type Piece } from './jointPieces.ts';

/** How wide the pipe is drawn, px from its middle: as run, and expanded. */
export interface Girth {
  readonly middle: number;
  readonly bare: number;
  readonly wide: number;
}

interface JointFigureProps {
  readonly joint: Joint;
  readonly state: Signal<JointState | null>;
  readonly girth: Girth;
  readonly pxPerM: number;
  /** Depth at which y is zero, m. */
  readonly origin: number;
  readonly detailed: boolean;
  readonly onChoose: (index: number) => void;
}

export function JointFigure({ joint, state, girth, pxPerM, origin, detailed, onChoose }: JointFigureProps) {
  const y = (depth: number): number => (depth - origin) * pxPerM;
  const { middle, bare, wide } = girth;
  const pieces = jointPieces(joint, state.value);
  const top = y(joint.top);
  const height = (joint.bottom - joint.top) * pxPerM;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: as above
    <g class={`joint kind-${joint.kind}`} onClick={() => onChoose(joint.index)}>
      <title>{`${joint.name}, ${joint.kind}`}</title>
      <rect class="touch" x={middle - wide - 8} y={top} width={wide * 2 + 16} height={height} />
      {joint.kind === 'shoe' ? (
        <path class="body" d={shoePath(middle, bare, top, height)} />
      ) : (
        <rect class="body" x={middle - bare} y={top} width={bare * 2} height={height} />
      )}
      {joint.kind === 'hanger' && <path class="slips" d={slipsPath(girth, top, height)} />}
      {joint.requiredM > 0 && (
        <rect
          class="required"
          x={middle - wide}
          y={y(joint.from)}
          width={wide * 2}
          height={(joint.to - joint.from) * pxPerM}
        />
      )}
      {pieces.map((piece) => (
        <PieceFigure key={piece.from} piece={piece} joint={joint} girth={girth} y={y} detailed={detailed} />
      ))}
    </g>
  );
}

interface PieceFigureProps {
  readonly piece: Piece;
  readonly joint: Joint;
  readonly girth: Girth;
  readonly y: (depth: number) => number;
  readonly detailed: boolean;
}

/** What was swept in vain is not wide; it is drawn wide all the same, so that it cannot be overlooked. */
function PieceFigure({ piece, joint, girth, y, detailed }: PieceFigureProps) {
  const half = piece.kind === 'not reached' ? girth.bare : girth.wide;
  const top = y(piece.from);
  const height = Math.max(1, y(piece.to) - top);
  return (
    <>
      <rect
        class={`piece piece-${piece.kind.replace(' ', '-')}`}
        x={girth.middle - half}
        y={top}
        width={half * 2}
        height={height}
      />
      {detailed && joint.kind === 'screen' && (
        <path class={`slots slots-${piece.kind.replace(' ', '-')}`} d={slotsPath(girth.middle, half, top, height)} />
      )}
      {joint.kind === 'isolation' && (
        <path
          class="ribs"
          d={detailed ? ribsPath(girth.middle, half, top, height) : ribPath(girth.middle, half, top, height)}
        />
      )}
    </>
  );
}

const SLOT_EVERY_PX = 5;
const RIB_EVERY_PX = 15;

/** Short cuts along both walls. */
function slotsPath(middle: number, half: number, top: number, height: number): string {
  let path = '';
  for (let y = top + SLOT_EVERY_PX / 2; y < top + height - 1; y += SLOT_EVERY_PX) {
    path += `M${middle - half + 3} ${y}h7M${middle + half - 10} ${y}h7`;
  }
  return path;
}

/** Bands of rubber around the outside. */
function ribsPath(middle: number, half: number, top: number, height: number): string {
  let path = '';
  for (let y = top + RIB_EVERY_PX / 2 - 4; y < top + height - 8; y += RIB_EVERY_PX) {
    path += `M${middle - half} ${y}h-5v8h5zM${middle + half} ${y}h5v8h-5z`;
  }
  return path;
}

/** The same where there is no room for bands: one on each side. */
function ribPath(middle: number, half: number, top: number, height: number): string {
  const [y, h] = [top + height * 0.2, height * 0.6];
  return `M${middle - half} ${y}h-4v${h}h4zM${middle + half} ${y}h4v${h}h-4z`;
}

function shoePath(middle: number, bare: number, top: number, height: number): string {
  const nose = Math.min(height * 0.5, bare);
  const side = top + height - nose;
  return `M${middle - bare} ${top}H${middle + bare}V${side}Q${middle + bare} ${top + height} ${middle} ${top + height}Q${middle - bare} ${top + height} ${middle - bare} ${side}Z`;
}

/** Wedges that grip the casing. */
function slipsPath({ middle, bare, wide }: Girth, top: number, height: number): string {
  const y1 = top + height * 0.2;
  const y2 = top + height * 0.65;
  return `M${middle - bare} ${y1}L${middle - wide - 3} ${y2}H${middle - bare}ZM${middle + bare} ${y1}L${middle + wide + 3} ${y2}H${middle + bare}Z`;
}
