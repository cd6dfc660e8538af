/** How much isolation joint lies in gauge when the whole liner is shifted: the curve, its best, and where the plan stands. */
import type { Check } from '../../src/check/checkSchema.ts';
import { converter } from '../../src/units.ts';
import { decimal } from '../figures.ts';
import { signed } from '../tool/toolWords.ts';
import { roundStep } from '../traces/valueScale.ts';
import type { PartProps } from './CheckView.tsx';
import type { Written } from './checkWords.ts';
import { Part } from './Part.tsx';

const BOX = { width: 640, height: 210, left: 56, right: 16, top: 26, bottom: 42 } as const;
const MARKS = 6;

type Curve = NonNullable<NonNullable<Check['hole']>['spaceOut']>;

export function SpaceOut({ check, written }: PartProps) {
  const spaceOut = check.hole?.spaceOut;
  if (!spaceOut) return null;
  const { shift, inGauge, asPlanned, length } = spaceOut;
  const shiftM = written.inside('length', shift);
  const where =
    shift === 0
      ? 'where it is planned'
      : `${signed(Math.abs(shiftM), written.system).replace('+', '')} ${written.label('length')} ${shift > 0 ? 'deeper' : 'higher'}`;
  return (
    <Part id="space-out" title="Space-out">
      <p class="space-out-says" data-testid="space-out-says">
        Isolation joint in gauge: <b>{written.of('length', asPlanned)}</b> of {written.with('length', length)} as
        planned; <b>{written.of('length', inGauge)}</b> with the liner <b>{where}</b>.
      </p>
      <Chart spaceOut={spaceOut} written={written} />
    </Part>
  );
}

function Chart({ spaceOut, written }: { readonly spaceOut: Curve; readonly written: Written }) {
  const units = converter(written.system);
  const shown = (value: number): number => units.out('length', written.inside('length', value));
  const reach = Math.max(shown(spaceOut.reach), 1e-6);
  const length = Math.max(shown(spaceOut.length), 1e-6);
  const x = (shift: number): number => BOX.left + ((shift + reach) / (2 * reach)) * (BOX.width - BOX.left - BOX.right);
  const y = (metres: number): number =>
    BOX.height - BOX.bottom - (metres / length) * (BOX.height - BOX.top - BOX.bottom);
  const path = spaceOut.curve
    .map(
      ({ shift, inGauge }, i) => `${i === 0 ? 'M' : 'L'}${x(shown(shift)).toFixed(1)} ${y(shown(inGauge)).toFixed(1)}`,
    )
    .join('');
  const best = [x(shown(spaceOut.shift)), y(shown(spaceOut.inGauge))] as const;
  const planned = [x(0), y(shown(spaceOut.asPlanned))] as const;
  const right = best[0] > planned[0];
  const same = spaceOut.shift === 0;
  return (
    <svg
      class="space-out-figure"
      viewBox={`0 0 ${BOX.width} ${BOX.height}`}
      role="img"
      aria-label="Curve of the space-out"
    >
      {marks(-reach, reach).map((at) => (
        <g key={at} class="chart-mark">
          <path d={`M${x(at)} ${BOX.top}V${BOX.height - BOX.bottom}`} />
          <text x={x(at)} y={BOX.height - BOX.bottom + 16} text-anchor="middle">
            {decimal(at, stepDecimals(reach))}
          </text>
        </g>
      ))}
      {marks(0, length).map((at) => (
        <g key={at} class="chart-mark">
          <path d={`M${BOX.left} ${y(at)}H${BOX.width - BOX.right}`} />
          <text x={BOX.left - 6} y={y(at) + 4} text-anchor="end">
            {decimal(at, stepDecimals(length / 2))}
          </text>
        </g>
      ))}
      <text class="chart-axis" x={(BOX.left + BOX.width - BOX.right) / 2} y={BOX.height - 6} text-anchor="middle">
        shift of the liner, {written.label('length')}: higher left, deeper right
      </text>
      <text class="chart-axis" x={BOX.left} y={14}>
        in gauge, {written.label('length')}
      </text>
      <path class="chart-curve" d={path} />
      <circle class="chart-planned" cx={planned[0]} cy={planned[1]} r="6" />
      <text
        class="chart-says"
        x={planned[0] + (right ? -10 : 10)}
        y={planned[1] + 18}
        text-anchor={right ? 'end' : 'start'}
      >
        {same ? 'as planned, the best' : 'as planned'}
      </text>
      {!same && (
        <>
          <path class="chart-best" d={`M${best[0]} ${best[1] - 8}l7 14h-14z`} />
          <text
            class="chart-says"
            x={best[0] + (right ? 10 : -10)}
            y={best[1] - 8}
            text-anchor={right ? 'start' : 'end'}
          >
            best
          </text>
        </>
      )}
    </svg>
  );
}

/** Whole steps from one end to the other. */
function marks(from: number, to: number): number[] {
  const step = roundStep((to - from) / MARKS);
  const found: number[] = [];
  for (let n = Math.ceil(from / step - 1e-9); n * step <= to + step * 1e-9; n++) found.push(n * step);
  return found;
}

const stepDecimals = (half: number): number => {
  const step = roundStep((2 * half) / MARKS);
  return Number.isInteger(step) ? 0 : step * 10 === Math.round(step * 10) ? 1 : 2;
};
