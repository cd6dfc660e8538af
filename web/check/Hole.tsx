/** The hole against the tool: the liner to depth, and beside each joint what the tool will find there. */
import type { Check } from '../../src/check/checkSchema.ts';
import type { JointKind } from '../../src/plan/planSchema.ts';
import { decimal } from '../figures.ts';
import { job } from '../state.ts';
import type { PartProps } from './CheckView.tsx';
import { shareInWords, type Written } from './checkWords.ts';
import { type HoleRow, holeRows, holeScale, SHARES, type ShareName } from './holeScale.ts';
import { Part } from './Part.tsx';

const SHARE_SAYINGS: Readonly<Record<ShareName, string>> = {
  inGauge: 'in gauge',
  overGauge: 'over gauge',
  tight: 'tight',
  noLog: 'no log',
};
const PLACES = {
  depth: 58,
  liner: 66,
  linerWide: 34,
  name: 112,
  bar: 158,
  barWide: 236,
  text: 404,
  width: 640,
} as const;

export function Hole({ check, written }: PartProps) {
  const { hole } = check;
  if (!hole) return null;
  const { from, to, rows } = hole.log;
  return (
    <Part id="hole" title="Hole against tool">
      <p class="check-note">
        Caliper from {written.of('length', from, 0)} to {written.with('length', to, 0)}, {decimal(rows, 0)} rows. Each
        bar is the length to be expanded.
      </p>
      <Legend />
      <Figure hole={hole} written={written} />
      <HoleTable hole={hole} written={written} />
    </Part>
  );
}

function Legend() {
  return (
    <ul class="hole-legend">
      {SHARES.map((name) => (
        <li key={name}>
          <svg width="30" height="16" aria-hidden="true">
            <rect x="1" y="1" width="28" height="14" class={`share share-${name}`} />
          </svg>
          {SHARE_SAYINGS[name]}
        </li>
      ))}
    </ul>
  );
}

interface HoleProps {
  readonly hole: NonNullable<Check['hole']>;
  readonly written: Written;
}

const FORM_OF: Readonly<Record<JointKind, 'wide' | 'bare'>> = {
  isolation: 'wide',
  screen: 'wide',
  hanger: 'bare',
  blank: 'bare',
  shoe: 'bare',
};

function Figure({ hole, written }: HoleProps) {
  const rows = holeRows(hole.joints, (value) => written.inside('length', value));
  const liner = job.value?.joints ?? [];
  const scale = holeScale(rows, liner);
  const middle = PLACES.liner + PLACES.linerWide / 2;
  return (
    <svg
      class="hole-figure"
      viewBox={`0 0 ${PLACES.width} ${scale.height}`}
      role="img"
      aria-label="Liner to depth with the shares of each joint; the table below says the same"
    >
      <Fillings />
      {liner.map((joint) => {
        const half = FORM_OF[joint.kind] === 'wide' ? PLACES.linerWide / 2 : PLACES.linerWide / 3;
        return (
          <rect
            key={joint.name}
            class={`hole-joint hole-${joint.kind}`}
            x={middle - half}
            width={half * 2}
            y={scale.y(joint.top)}
            height={Math.max(1, scale.y(joint.bottom) - scale.y(joint.top))}
          />
        );
      })}
      {rows.map((row, i) => (
        <OneJoint key={row.joint.joint} row={row} at={scale.labels[i]!} y={scale.y} written={written} />
      ))}
    </svg>
  );
}

interface OneJointProps {
  readonly row: HoleRow;
  /** Where its name stands: its middle, moved down where another is in the way. */
  readonly at: number;
  readonly y: (depthM: number) => number;
  readonly written: Written;
}

function OneJoint({ row, at, y, written }: OneJointProps) {
  const { joint, fromM, toM } = row;
  const top = y(fromM);
  const height = Math.max(10, y(toM) - top);
  let left = PLACES.bar;
  const trouble = SHARES.filter((name) => name !== 'inGauge' && joint[name] > 0);
  return (
    <g>
      <text class="hole-depth" x={PLACES.depth} y={top + 5}>
        {written.of('length', joint.from, written.system === 'metric' ? 1 : 0)}
      </text>
      <text class="hole-name" x={PLACES.name} y={at}>
        {joint.joint}
      </text>
      {SHARES.map((name) => {
        const width = joint[name] * PLACES.barWide;
        const x = left;
        left += width;
        return (
          width > 0 && <rect key={name} class={`share share-${name}`} x={x} y={top} width={width} height={height} />
        );
      })}
      <text class={`hole-says${trouble.length > 0 ? ' is-trouble' : ''}`} x={PLACES.text} y={at}>
        {trouble.length === 0
          ? 'all in gauge'
          : trouble.map((name) => `${shareInWords(joint[name])} % ${SHARE_SAYINGS[name]}`).join(', ')}
      </text>
    </g>
  );
}

/** Fillings that stay apart in black and white. */
function Fillings() {
  return (
    <defs>
      <pattern id="hole-over" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <rect width="7" height="7" class="fill-ground" />
        <rect width="3.200" height="7" class="fill-high" />
      </pattern>
      <pattern id="hole-tight" width="8" height="8" patternUnits="userSpaceOnUse">
        <rect width="8" height="8" class="fill-ground" />
        <path d="M0 4h8M4 0v8" class="stroke-unproven" />
      </pattern>
      <pattern id="hole-no-log" width="8" height="8" patternUnits="userSpaceOnUse">
        <rect width="8" height="8" class="fill-ground" />
        <circle cx="4" cy="4" r="1.200" class="fill-line" />
      </pattern>
    </defs>
  );
}

function HoleTable({ hole, written }: HoleProps) {
  const diameter = (value: number | null | undefined) =>
    written.of('diameter', value ?? null, written.system === 'metric' ? 1 : 3);
  const ofTool = (value: number) => written.of('diameter', value, written.system === 'metric' ? 0 : 2);
  return (
    <div class="check-wide">
      <table class="sections hole-table">
        <thead>
          <tr>
            <th scope="col" class="text">
              Joint
            </th>
            <th scope="col">tool follows, {written.label('diameter')}</th>
            <th scope="col">gauge, %</th>
            <th scope="col">over, %</th>
            <th scope="col">tight, %</th>
            <th scope="col">contact, %</th>
            <th scope="col">widest gap, {written.label('diameter')}</th>
            <th scope="col">squeeze, %</th>
            <th scope="col">closed, {written.label('volume')}</th>
          </tr>
        </thead>
        <tbody>
          {hole.joints.map((joint) => (
            <tr key={joint.joint} data-testid={`hole-${joint.joint}`}>
              <th scope="row" class="text">
                {joint.joint}
              </th>
              <td>
                {ofTool(joint.range.min)} to {ofTool(joint.range.max)}
              </td>
              <td>{shareInWords(joint.inGauge)}</td>
              <td>{shareInWords(joint.overGauge)}</td>
              <td>{shareInWords(joint.tight)}</td>
              <td>{shareInWords(joint.contact)}</td>
              <td>{diameter(joint.gap?.widest)}</td>
              <td>
                {joint.squeeze
                  ? `${shareInWords(joint.squeeze.least)} to ${shareInWords(joint.squeeze.most)}`
                  : shareInWords(null)}
              </td>
              <td>{written.of('volume', joint.closed, written.system === 'metric' ? 2 : 1)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
