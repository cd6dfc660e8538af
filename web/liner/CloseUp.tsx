/** The stretch around the tool, enlarged: depth scale, pipe, threads, tools and their depths. */
import type { ReadonlySignal } from '@preact/signals';
import type { Job } from '../../src/plan/job.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figure } from '../figures.ts';
import { joints, now, selectedJoint } from '../state.ts';
import { fittedName } from './fittedName.ts';
import { type Girth, JointFigure } from './JointFigure.tsx';
import { type DepthWindow, depthMarks, lengthUnitM } from './linerScale.ts';
import { NotePins } from './NotePins.tsx';
import { Tools } from './Tools.tsx';

interface CloseUpProps {
  readonly job: Job;
  readonly whole: DepthWindow;
  readonly stretch: ReadonlySignal<DepthWindow | null>;
  readonly width: number;
  readonly height: number;
  readonly system: UnitSystem;
}

/** Places across the picture at its usual least width, px: all grow and shrink with it, within bounds. */
const LEAST = { width: 248, shrink: 0.88, growth: 1.4, middle: 134, bare: 25, wide: 38, flag: 76, scale: 62 };
const WALL_PX = 9;

interface Places {
  readonly girth: Girth;
  readonly flagPx: number;
  readonly scaleX: number;
  readonly namesX: number;
}

function placesFor(width: number): Places {
  const k = Math.min(LEAST.growth, Math.max(LEAST.shrink, width / LEAST.width));
  const girth = { middle: LEAST.middle * k, bare: LEAST.bare * k, wide: LEAST.wide * k };
  return {
    girth,
    flagPx: LEAST.flag * k,
    scaleX: LEAST.scale * k,
    namesX: girth.middle + girth.wide + WALL_PX + 13,
  };
}

export function CloseUp({ job, whole, stretch, width, height, system }: CloseUpProps) {
  const shown = stretch.value ?? whole;
  const pxPerM = height / (shown.to - shown.from);
  const y = (depth: number): number => (depth - whole.from) * pxPerM;
  const { girth, flagPx, scaleX, namesX } = placesFor(width);
  const grown = Math.min(NAME_PX.growth, Math.max(1, width / LEAST.width));
  const shift = `translate(0px, ${-y(shown.from)}px)`;
  return (
    <svg class="close-up" width={width} height={height} role="img" aria-label="The stretch around the tool">
      <g class="moving" style={{ transform: shift }}>
        <Hole job={job} y={y} whole={whole} girth={girth} />
        <DepthScale shown={shown} whole={whole} height={height} system={system} y={y} x={scaleX} />
        {job.joints.map((joint) => (
          <JointFigure
            key={joint.name}
            joint={joint}
            state={joints.value[joint.index]!}
            girth={girth}
            pxPerM={pxPerM}
            origin={whole.from}
            detailed={true}
            onChoose={choose}
          />
        ))}
        {job.joints.slice(1).map((joint) => (
          <path key={joint.name} class="collar" d={collarPath(y(joint.top), girth)} />
        ))}
        <Names job={job} y={y} x={namesX} room={width - namesX - 2} grown={grown} />
        <NotePins y={y} x={girth.middle + girth.wide - 2} detailed />
        <Tools job={job} y={y} girth={girth} flagPx={flagPx} system={system} top={y(whole.from)} />
      </g>
    </svg>
  );
}

function choose(index: number): void {
  selectedJoint.value = selectedJoint.peek() === index ? null : index;
}

/** A threaded connection: a collar with the turns of its thread. */
function collarPath(y: number, { middle, bare }: Girth): string {
  const left = middle - bare - 2;
  const width = bare * 2 + 4;
  return `M${left} ${y - 5}h${width}v10h${-width}zM${left} ${y - 1}l${width} -3M${left} ${y + 4}l${width} -3`;
}

interface HoleProps {
  readonly job: Job;
  readonly whole: DepthWindow;
  readonly y: (depth: number) => number;
  readonly girth: Girth;
}

/** The wall of the hole, as rock on both sides. */
function Hole({ job, whole, y, girth }: HoleProps) {
  const top = y(whole.from);
  const height = y(job.joints[job.joints.length - 1]!.bottom) - top;
  const left = girth.middle - girth.wide - 6 - WALL_PX;
  const right = girth.middle + girth.wide + 6;
  return (
    <>
      <rect class="rock" x={left} y={top} width={WALL_PX} height={height} />
      <rect class="rock" x={right} y={top} width={WALL_PX} height={height} />
      <path class="wall" d={`M${left + WALL_PX} ${top}v${height}M${right} ${top}v${height}`} />
    </>
  );
}

interface DepthScaleProps {
  readonly shown: DepthWindow;
  readonly whole: DepthWindow;
  readonly height: number;
  readonly system: UnitSystem;
  readonly y: (depth: number) => number;
  readonly x: number;
}

function DepthScale({ shown, whole, height, system, y, x }: DepthScaleProps) {
  const reach = shown.to - shown.from;
  const span = { from: Math.max(whole.from, shown.from - reach), to: Math.min(whole.to, shown.to + reach) };
  const marks = depthMarks(span, ((span.to - span.from) / reach) * height, lengthUnitM(system), 56);
  return (
    <>
      {marks.map((depth) => (
        <g key={depth} class="depth-mark">
          <path d={`M${x + 4} ${y(depth)}h6`} />
          <text x={x} y={y(depth)}>
            {figure('length', depth, system, 0)}
          </text>
        </g>
      ))}
    </>
  );
}

interface NamesProps {
  readonly job: Job;
  readonly y: (depth: number) => number;
  readonly x: number;
  readonly room: number;
  readonly grown: number;
}

/** Type of a name, px, as in liner.css, on the rig panel; it grows with the picture, to so many times that. */
const NAME_PX = { current: 24, other: 18, growth: 1.22 } as const;

function Names({ job, y, x, room, grown }: NamesProps) {
  const current = now.value?.joint ?? null;
  return (
    <>
      {job.joints.map((joint) => {
        const chosen = selectedJoint.value === joint.index;
        const middle = y((joint.top + joint.bottom) / 2);
        const px = current === joint.index ? NAME_PX.current : NAME_PX.other;
        const { text, textLength } = fittedName(joint.name, px * grown, room);
        return (
          <g
            key={joint.name}
            class={`joint-name${current === joint.index ? ' is-current' : ''}${chosen ? ' is-chosen' : ''}`}
          >
            {chosen && <path class="bracket" d={`M${x - 2} ${y(joint.top) + 3}h-7V${y(joint.bottom) - 3}h7`} />}
            <text
              x={x}
              y={middle - 4}
              class="joint-name-name"
              textLength={textLength}
              lengthAdjust={textLength && 'spacingAndGlyphs'}
            >
              {text}
            </text>
            <text x={x} y={middle + 12} class="joint-name-kind">
              {joint.kind}
            </text>
          </g>
        );
      })}
    </>
  );
}
