/** The whole liner on one scale: how far the job is, where the tools are, which stretch is enlarged beside it. */
import type { ReadonlySignal } from '@preact/signals';
import type { Job } from '../../src/plan/job.ts';
import { joints, now, selectedJoint } from '../state.ts';
import { fittedName } from './fittedName.ts';
import { JointFigure } from './JointFigure.tsx';
import type { DepthWindow } from './linerScale.ts';
import { NotePins } from './NotePins.tsx';

interface OverviewProps {
  readonly job: Job;
  readonly whole: DepthWindow;
  readonly stretch: ReadonlySignal<DepthWindow | null>;
  readonly width: number;
  readonly height: number;
}

const GIRTH = { middle: 32, bare: 7, wide: 12 };
/** Names stand at least this far apart: in a long liner every so many joints has one. */
const NAME_EVERY_PX = 16;
const NAMES_X = GIRTH.middle + GIRTH.wide + 6;
/** Type of a name, px, as in liner.css on the rig panel; where it is larger, it is squeezed a little more. */
const NAME_PX = 13;
/** The short shoe at the end has its name whole all the same. */
const HALF_NAME_PX = 7;

export function Overview({ job, whole, stretch, width, height }: OverviewProps) {
  const pxPerM = height / (whole.to - whole.from);
  const y = (depth: number): number => (depth - whole.from) * pxPerM;
  const shown = stretch.value ?? whole;
  const named = Math.ceil((NAME_EVERY_PX * job.joints.length) / height);
  return (
    <svg class="overview" width={width} height={height} role="img" aria-label="The whole liner">
      <rect
        class="stretch"
        x="1"
        y={y(shown.from) + 1}
        width={GIRTH.middle + GIRTH.wide + 2}
        height={y(shown.to) - y(shown.from) - 2}
        rx="3"
      />
      {job.joints.map((joint) => (
        <JointFigure
          key={joint.name}
          joint={joint}
          state={joints.value[joint.index]!}
          girth={GIRTH}
          pxPerM={pxPerM}
          origin={whole.from}
          detailed={false}
          onChoose={choose}
        />
      ))}
      {job.joints.slice(1).map((joint) => (
        <path key={joint.name} class="thread" d={`M${GIRTH.middle - 9} ${y(joint.top)}h18`} />
      ))}
      {job.joints.map((joint) => {
        if (joint.index % named !== 0) return null;
        const { text, textLength } = fittedName(joint.name, NAME_PX, width - NAMES_X - 1);
        return (
          <text
            key={joint.name}
            class={`name${selectedJoint.value === joint.index ? ' is-chosen' : ''}`}
            x={NAMES_X}
            textLength={textLength}
            lengthAdjust={textLength && 'spacingAndGlyphs'}
            y={Math.max(HALF_NAME_PX, Math.min(height - HALF_NAME_PX, y((joint.top + joint.bottom) / 2)))}
          >
            {text}
          </text>
        );
      })}
      <NotePins y={y} x={3} detailed={false} />
      <Pointers y={y} />
    </svg>
  );
}

function choose(index: number): void {
  selectedJoint.value = selectedJoint.peek() === index ? null : index;
}

function Pointers({ y }: { readonly y: (depth: number) => number }) {
  const state = now.value;
  return (
    <>
      {state?.toolDepths.map((depth, index) =>
        depth === null ? null : (
          <path
            key={index}
            class={`pointer${index === state.tool ? ' is-at-work' : ''}`}
            d="M-11 -6L0 0L-11 6z"
            transform={`translate(${GIRTH.middle - GIRTH.wide - 3} ${y(depth)})`}
          />
        ),
      )}
    </>
  );
}
