import type { Check } from '../../src/check/checkSchema.ts';
import { decimal, UNKNOWN } from '../figures.ts';
import type { PartProps } from './CheckView.tsx';
import type { Written } from './checkWords.ts';
import { Part } from './Part.tsx';

type Ball = Check['balls'][number];
const MOMENTS = [
  ['slow', 'slow down'],
  ['seat', 'on the seat'],
  ['overdue', 'overdue'],
] as const;

/** What to have pumped at each moment of a ball's way. */
export function Balls({ check, written }: PartProps) {
  if (check.balls.length === 0) return null;
  return (
    <Part id="balls" title="Balls">
      {check.balls.map((ball) => (
        <BallTable key={ball.name} ball={ball} written={written} />
      ))}
    </Part>
  );
}

function BallTable({ ball, written }: { readonly ball: Ball; readonly written: Written }) {
  return (
    <div class="ball">
      <h3>
        {ball.name}, {ball.purpose}: seat at {written.with('length', ball.depth)}, end of the string at{' '}
        {written.with('length', ball.stringEnd)}, pumped at {written.with('flow', ball.flow)}, then{' '}
        {written.with('flow', ball.slowFlow)}
      </h3>
      <table class="sections">
        <thead>
          <tr>
            <th scope="col" class="text">
              Since it was let go
            </th>
            <th scope="col">volume, {written.label('volume')}</th>
            <th scope="col">strokes</th>
            <th scope="col">minutes</th>
          </tr>
        </thead>
        <tbody>
          {MOMENTS.map(([name, says]) => (
            <tr key={name} class={name === 'seat' ? 'is-taken' : ''}>
              <th scope="row" class="text">
                {says}
              </th>
              <td>{written.of('volume', ball[name].volume, 1)}</td>
              <td>{ball[name].strokes === null ? UNKNOWN : decimal(ball[name].strokes, 0)}</td>
              <td>{decimal(ball[name].minutes, 0)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
