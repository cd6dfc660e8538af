/** What is gained and lost between two sides, at its depth in two lanes, and in words beside them. */
import type { JointPair } from '../../src/replay/jointsBeside.ts';
import { figureWithUnit } from '../figures.ts';
import { spreadLabels } from '../liner/linerScale.ts';
import { unitSystem } from '../state.ts';
import { Cut } from './Cut.tsx';
import type { FigureSide } from './DepthFigure.tsx';

interface PairMarksProps {
  readonly sides: readonly FigureSide[];
  readonly pairs: readonly JointPair[];
  readonly place: Readonly<Record<'x' | 'top' | 'height' | 'width' | 'textWidth', number>>;
  readonly y: (depth: number) => number;
  readonly pxPerM: number;
  /** Joints are named, and what becomes of them is said. */
  readonly written: boolean;
}

const LANE = { gained: 8, lost: 32, width: 16 } as const;
const WORDS_EVERY_PX = 17;
/** Marks so near to each other could not be told apart. */
const MERGE_PX = 2.5;

export function PairMarks({ sides, pairs, place, y, pxPerM, written }: PairMarksProps) {
  const [a, b] = sides as readonly [FigureSide, FigureSide];
  /** Depth of the joint's own top by the axis: as it stands in the second. */
  const topOf = (pair: JointPair): number =>
    pair.b === null ? a.job.joints[pair.a!]!.top - a.originM : b.job.joints[pair.b]!.top - b.originM;
  return (
    <g transform={`translate(${place.x} ${place.top})`}>
      <defs>
        <pattern id="fill-gained" width="8" height="8" patternUnits="userSpaceOnUse">
          <rect width="8" height="8" class="fill-gained-ground" />
          <path class="fill-gained-sign" d="M4 1.500V6.500M1.500 4H6.500" />
        </pattern>
        <pattern id="fill-lost" width="8" height="6" patternUnits="userSpaceOnUse">
          <rect width="8" height="6" class="fill-lost-ground" />
          <path class="fill-lost-sign" d="M1.500 3H6.500" />
        </pattern>
      </defs>
      <text class="lane-sign" x={LANE.gained + LANE.width / 2} y="-10">
        +
      </text>
      <text class="lane-sign" x={LANE.lost + LANE.width / 2} y="-10">
        −
      </text>
      <Cut width={place.width} height={place.height}>
        {(['gained', 'lost'] as const).flatMap((lane) =>
          pairs.flatMap((pair) =>
            merged(pair[lane], MERGE_PX / pxPerM).map(([from, to]) => (
              <rect
                key={`${lane} ${pair.a} ${pair.b} ${from}`}
                class={`lane-mark is-${lane}`}
                data-testid={`mark-${lane}`}
                x={LANE[lane]}
                y={y(topOf(pair) + from)}
                width={LANE.width}
                height={Math.max(2, (to - from) * pxPerM)}
              />
            )),
          ),
        )}
      </Cut>
      {written && (
        <Cut x={place.width} width={place.textWidth} height={place.height}>
          <PairWords sides={[a, b]} pairs={pairs} topOf={topOf} y={y} height={place.height} />
        </Cut>
      )}
    </g>
  );
}

type Spans = JointPair['gained'];

function merged(spans: Spans, apart: number): Spans {
  const out: [number, number][] = [];
  for (const [from, to] of spans) {
    const last = out[out.length - 1];
    if (last && from - last[1] < apart) last[1] = to;
    else out.push([from, to]);
  }
  return out;
}

interface WordsProps {
  readonly sides: readonly [FigureSide, FigureSide];
  readonly pairs: readonly JointPair[];
  readonly topOf: (pair: JointPair) => number;
  readonly y: (depth: number) => number;
  readonly height: number;
}

/** Those that change are always written; the others where there is room. */
function PairWords({ sides: [a, b], pairs, topOf, y, height }: WordsProps) {
  const system = unitSystem.value;
  const said = pairs.map((pair) => {
    const before = pair.a === null ? null : a.joints[pair.a]!.verdict;
    const after = pair.b === null ? null : b.joints[pair.b]!.verdict;
    const joint = pair.b === null ? a.job.joints[pair.a!]! : b.job.joints[pair.b]!;
    const metres = [
      pair.gainedM > 0 ? `+${figureWithUnit('length', pair.gainedM, system)}` : '',
      pair.lostM > 0 ? `−${figureWithUnit('length', pair.lostM, system)}` : '',
    ];
    return {
      pair,
      name: joint.name,
      verdict: before === after ? `${after}` : `${before ?? 'not in it'} → ${after ?? 'not in it'}`,
      changes: before !== after,
      metres: metres.filter((words) => words !== '').join('  '),
      middle: y(topOf(pair) + (joint.bottom - joint.top) / 2),
    };
  });
  const inView = said.filter(({ middle }) => middle > 0 && middle < height);
  const isCrowded = inView.length * WORDS_EVERY_PX > height;
  const written = isCrowded ? inView.filter(({ changes, metres }) => changes || metres !== '') : inView;
  const places = spreadLabels(
    written.map(({ middle }) => middle),
    WORDS_EVERY_PX,
  );
  return (
    <>
      {written.map(({ pair, name, verdict, changes, metres }, i) => (
        <text key={`${pair.a} ${pair.b}`} class="pair-words" x="4" y={places[i]}>
          <tspan class="pair-name">{name}</tspan>{' '}
          <tspan class={changes ? 'pair-changes' : ''} dx="8">
            {verdict}
          </tspan>
          <tspan dx="12">{metres}</tspan>
        </text>
      ))}
    </>
  );
}
